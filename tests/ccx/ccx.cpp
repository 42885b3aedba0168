// The same body, mesh, supports and loads through CalculiX with 20-node hexahedra.
#include "tests/ccx/ccx.hpp"
#include "tests/scratch.hpp"
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_values.h>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace raybend {

using dealii::Point;

namespace {

// The 8-node serendipity functions on the unit square; nodes at (a, b) in {0, 1/2, 1}^2 without the centre.
double serendipity(double a, double b, double x, double y) {
  const double p = 2 * x - 1, q = 2 * y - 1, pa = 2 * a - 1, qb = 2 * b - 1;
  if (a == 0.5)
    return 0.5 * (1 - p * p) * (1 + q * qb);
  if (b == 0.5)
    return 0.5 * (1 + p * pa) * (1 - q * q);
  return 0.25 * (1 + p * pa) * (1 + q * qb) * (p * pa + q * qb - 1);
}

struct Deck {
  std::map<unsigned, std::array<unsigned, 3>> unknowns; ///< of each node
  std::map<unsigned, Vec3> nodes, forces;
  std::vector<std::array<unsigned, 20>> elements;
  std::vector<unsigned> materials;
};

Deck make_deck(const Body &body) {
  const Problem &p = body.problem();
  if (!p.springs.empty() || !p.ground.empty() || !p.contact.empty() || !p.ties.empty() || p.body_force ||
      !p.region_forces.empty())
    throw std::runtime_error("the problem holds what is not carried over to CalculiX");
  Deck deck;
  const Level &level = body.level();
  const dealii::QGauss<2> quadrature(4);
  dealii::FEFaceValues<3> face(*level.mapping, level.fe, quadrature,
                               dealii::update_JxW_values | dealii::update_quadrature_points);
  for (const auto &cell : level.dofs.active_cell_iterators()) {
    std::array<unsigned, 20> element{};
    const CcxElement unknowns = ccx_element(level, cell);
    for (unsigned n = 0; n < 20; ++n) {
      element[n] = unknowns[n][0] + 1;
      deck.unknowns[element[n]] = unknowns[n];
      for (unsigned c = 0; c < 3; ++c)
        deck.nodes[element[n]][c] = level.position[unknowns[n][c]];
    }
    deck.elements.push_back(element);
    deck.materials.push_back(
        p.material_at(Level::logical_point(cell, Point<3>(.5, .5, .5)), cell->material_id()));
    for (const unsigned f : cell->face_indices())
      for (const TractionFace &t : p.tractions) {
        if (!cell->face(f)->at_boundary() || cell->face(f)->boundary_id() != t.id)
          continue;
        face.reinit(cell, f);
        const unsigned axis = f / 2, first = axis == 0 ? 1 : 0, second = axis == 2 ? 1 : 2;
        for (unsigned q = 0; q < quadrature.size(); ++q) {
          const Point<3> x = face.quadrature_point(q);
          const Vec3 value = t.traction({x[0], x[1], x[2]});
          // Unit coordinates of the point along the face's two axes, whatever order the face has them in.
          const Point<3> unit = level.mapping->transform_real_to_unit_cell(cell, x);
          for (unsigned n = 0; n < 20; ++n)
            if (c3d20_nodes[n][axis] == f % 2)
              deck.forces[element[n]] =
                  deck.forces[element[n]] +
                  face.JxW(q) *
                      serendipity(c3d20_nodes[n][first], c3d20_nodes[n][second], unit[first], unit[second]) *
                      value;
        }
      }
  }
  return deck;
}

void write_deck(const Deck &deck, const Body &body, const std::filesystem::path &path) {
  const Problem &p = body.problem();
  std::ofstream out(path);
  out.precision(14);
  out << "*NODE, NSET=ALL\n";
  for (const auto &[n, x] : deck.nodes)
    out << n << ", " << x[0] << ", " << x[1] << ", " << x[2] << "\n";
  for (unsigned m = 0; m < p.materials.size(); ++m) {
    out << "*ELEMENT, TYPE=C3D20, ELSET=M" << m << "\n";
    for (std::size_t i = 0; i < deck.elements.size(); ++i)
      if (deck.materials[i] == m) {
        out << i + 1;
        for (unsigned n = 0; n < 20; ++n) // at most 16 entries a line
          out << (n == 10 ? ",\n" : ", ") << deck.elements[i][n];
        out << "\n";
      }
    Sym2 stress;
    Sym4 cc;
    p.materials[m]->tangent(Tensor2(dealii::unit_symmetric_tensor<3>()), stress, cc);
    const double mu = cc[0][1][0][1], lambda = cc[0][0][1][1];
    out << "*MATERIAL, NAME=MAT" << m << "\n*ELASTIC\n"
        << mu * (3 * lambda + 2 * mu) / (lambda + mu) << ", " << lambda / (2 * (lambda + mu)) << "\n";
    if (p.thermal_strain)
      out << "*EXPANSION\n1\n";
    out << "*SOLID SECTION, ELSET=M" << m << ", MATERIAL=MAT" << m << "\n";
  }
  out << "*ELSET, ELSET=EVERY\n";
  for (unsigned m = 0; m < p.materials.size(); ++m)
    out << "M" << m << ",\n";
  if (p.thermal_strain)
    out << "*INITIAL CONDITIONS, TYPE=TEMPERATURE\nALL, 0\n";
  out << "*STEP\n*STATIC\n*BOUNDARY\n";
  for (const auto &[n, unknowns] : deck.unknowns)
    for (unsigned c = 0; c < 3; ++c)
      if (body.level().constraints.is_constrained(unknowns[c]))
        out << n << ", " << c + 1 << ", " << c + 1 << ", " << body.u[unknowns[c]] << "\n";
  if (!deck.forces.empty())
    out << "*CLOAD\n";
  for (const auto &[n, f] : deck.forces)
    for (unsigned c = 0; c < 3; ++c)
      if (f[c] != 0)
        out << n << ", " << c + 1 << ", " << f[c] << "\n";
  if (p.thermal_strain) {
    out << "*TEMPERATURE\n";
    for (const auto &[n, x] : deck.nodes)
      out << n << ", " << p.thermal_strain(x) << "\n";
  }
  out << "*NODE PRINT, NSET=ALL\nU\n*EL PRINT, ELSET=EVERY\nS\n*END STEP\n";
}

CcxAnswer read_answer(const std::filesystem::path &path) {
  CcxAnswer a;
  std::ifstream in(path);
  bool stress = false;
  for (std::string line; std::getline(in, line);) {
    if (line.find("displacements") != std::string::npos || line.find("stresses") != std::string::npos)
      stress = line.find("stresses") != std::string::npos;
    std::istringstream words(line);
    unsigned number = 0, point = 0;
    if (!(words >> number))
      continue;
    if (stress) { // element, point, xx yy zz xy xz yz
      double s[6];
      words >> point >> s[0] >> s[1] >> s[2] >> s[3] >> s[4] >> s[5];
      Sym2 t;
      t[0][0] = s[0];
      t[1][1] = s[1];
      t[2][2] = s[2];
      t[0][1] = s[3];
      t[0][2] = s[4];
      t[1][2] = s[5];
      a.stress[number].push_back(t);
    } else {
      Vec3 &u = a.displacement[number];
      words >> u[0] >> u[1] >> u[2];
    }
  }
  return a;
}

} // namespace

CcxElement ccx_element(const Level &level, const dealii::DoFHandler<3>::active_cell_iterator &cell) {
  const auto &support = level.fe.get_unit_support_points();
  std::vector<dealii::types::global_dof_index> index(level.fe.n_dofs_per_cell());
  cell->get_dof_indices(index);
  CcxElement element{};
  for (unsigned n = 0; n < 20; ++n)
    for (unsigned i = 0; i < index.size(); ++i)
      if (support[i].distance(Point<3>(c3d20_nodes[n][0], c3d20_nodes[n][1], c3d20_nodes[n][2])) < 1e-9)
        element[n][level.fe.system_to_component_index(i).first] = index[i];
  return element;
}

void run_deck(const std::filesystem::path &folder) {
  if (std::system("command -v ccx > /dev/null") != 0)
    throw std::runtime_error("the program ccx is missing; install the package calculix-ccx");
  const std::string run = "cd '" + folder.string() + "' && ccx -i body > body.log 2>&1";
  if (std::system(run.c_str()) != 0 || !std::filesystem::exists(folder / "body.dat")) {
    std::ifstream log(folder / "body.log");
    throw std::runtime_error("ccx failed:\n" + std::string(std::istreambuf_iterator<char>(log), {}));
  }
}

CcxAnswer run_ccx(const Body &body) {
  const Scratch scratch;
  const Deck deck = make_deck(body);
  write_deck(deck, body, scratch.path / "body.inp");
  run_deck(scratch.path);
  CcxAnswer answer = read_answer(scratch.path / "body.dat");
  if (answer.displacement.size() != deck.nodes.size() || answer.stress.size() != deck.elements.size())
    throw std::runtime_error("ccx did not answer for every node and element");
  return answer;
}

std::map<unsigned, Vec3> ccx_forces(const Body &body) {
  return make_deck(body).forces;
}

CcxComparison compare_with_ccx(const Body &body, const CcxAnswer &answer,
                               const std::function<bool(const Vec3 &)> &place) {
  CcxComparison c{0, 0, 0, 0};
  const Deck deck = make_deck(body);
  for (const auto &[n, unknowns] : deck.unknowns) {
    const Vec3 &theirs = answer.displacement.at(n);
    const Vec3 ours = {body.u[unknowns[0]], body.u[unknowns[1]], body.u[unknowns[2]]};
    c.largest_displacement = std::max(c.largest_displacement, norm(theirs));
    c.displacement = std::max(c.displacement, norm(ours - theirs));
  }
  c.displacement /= c.largest_displacement;
  double square = 0;
  unsigned long count = 0, seen = 0;
  body.everywhere(
      [&](const Sample &s, double) {
        const Sym2 theirs = answer.stress.at(seen / 27 + 1).at(seen % 27);
        ++seen;
        if (place && !place(s.x))
          return;
        square += std::pow((body.small_stress(s) - theirs).norm(), 2);
        c.largest_stress = std::max(c.largest_stress, theirs.norm());
        ++count;
      },
      3);
  c.stress_rms = std::sqrt(square / count) / c.largest_stress;
  return c;
}

} // namespace raybend
