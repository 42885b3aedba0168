// A whole forefoot through CalculiX: 20-node hexahedra on the nodes of the coarse mesh, CalculiX's own contact,
// springs and rigid body.
#include "tests/ccx/ccx_forefoot.hpp"
#include "geometry/logical_frame.hpp"
#include "tests/scratch.hpp"
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_values.h>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace raybend {

using dealii::Point;
using Cell = dealii::DoFHandler<3>::active_cell_iterator;

namespace {

/// The functions of the 20 nodes at a point of the unit cell.
using Shape = std::array<double, 20>;
Shape shape_at(const Point<3> &x) {
  Shape shape{};
  for (unsigned n = 0; n < 20; ++n) {
    bool corner = true;
    double product = 1, sum = -2;
    for (unsigned i = 0; i < 3; ++i) {
      const double at = 2 * c3d20_nodes[n][i] - 1, p = 2 * x[i] - 1;
      corner = corner && at != 0;
      product *= at == 0 ? 1 - p * p : 1 + p * at;
      sum += p * at;
    }
    shape[n] = corner ? product * sum / 8 : product / 4;
  }
  return shape;
}

/// CalculiX's number of a face, by deal.II's (0, 1: at the first axis' two ends, ...).
constexpr unsigned ccx_face[6] = {6, 4, 3, 5, 1, 2};

struct Term {
  unsigned node, component; ///< component from 1
  double factor;
};

/// Writes the deck part by part; nodes and elements are counted as they come.
class DeckWriter {
public:
  DeckWriter(const Body &body, const std::filesystem::path &path)
      : problem_(body.problem()), level_(body.level()), out_(path), next_node_(level_.dofs.n_dofs() + 1) {
    out_.precision(12);
    out_ << std::scientific;
  }

  void write() {
    check();
    cells();
    carrier();
    springs();
    ground();
    contact();
    ties();
    step();
  }

  unsigned midfoot() const { return reference_[0]; }

private:
  static Vec3 middle_of(const Cell &cell) { return Level::logical_point(cell, Point<3>(.5, .5, .5)); }

  void check() const {
    const bool carried = !problem_.body_force && !problem_.thermal_strain && problem_.tractions.empty() &&
                         problem_.fixed.empty() && problem_.fixed_nodes.empty() &&
                         problem_.contact.size() == 1 && problem_.ground.size() == 1 &&
                         problem_.carrier.modes.size() == 3 && problem_.slide.size() == 3 &&
                         problem_.contact[0].direction[2] == 1 && problem_.ground[0].direction[2] == 1;
    if (!carried)
      throw std::logic_error("the problem holds what is not carried over to CalculiX");
  }

  unsigned new_node(const Vec3 &x) {
    out_ << "*NODE\n" << next_node_ << ", " << x[0] << ", " << x[1] << ", " << x[2] << "\n";
    return next_node_++;
  }

  /// The first term depends on the others.
  void equation(const std::vector<Term> &terms) {
    out_ << "*EQUATION\n" << terms.size() << "\n";
    for (std::size_t i = 0; i < terms.size(); ++i)
      out_ << terms[i].node << "," << terms[i].component << "," << terms[i].factor
           << (i % 4 == 3 || i + 1 == terms.size() ? "\n" : ",");
  }

  /// `kind`: SPRING1, SPRING2 or SPRINGA, which has no component. `curve`: elongation and force, in place of a
  /// stiffness. `axes`: name of an orientation.
  void spring(const char *kind, const std::vector<unsigned> &nodes, const unsigned component,
              const double stiffness, const std::vector<std::array<double, 2>> &curve = {},
              const std::string &axes = "") {
    const unsigned element = next_element_++;
    out_ << "*ELEMENT, TYPE=" << kind << ", ELSET=E" << element << "\n" << element;
    for (const unsigned n : nodes)
      out_ << ", " << n;
    out_ << "\n*SPRING, ELSET=E" << element << (curve.empty() ? "" : ", NONLINEAR")
         << (axes.empty() ? "" : ", ORIENTATION=" + axes) << "\n";
    if (component > 0)
      out_ << component << (nodes.size() > 1 ? ", " + std::to_string(component) : "") << "\n";
    if (curve.empty())
      out_ << stiffness << "\n";
    for (const auto &[elongation, force] : curve)
      out_ << force << ", " << elongation << "\n";
  }

  void cells() {
    out_ << "*NODE, NSET=BODY\n";
    const dealii::QGauss<3> points(3);
    std::map<unsigned, std::vector<std::pair<unsigned, CcxElement>>> of_material;
    std::map<unsigned, Vec3> nodes;
    unsigned number = 0;
    for (const Cell &cell : level_.dofs.active_cell_iterators()) {
      const CcxElement element = ccx_element(level_, cell);
      const unsigned material = problem_.material_at(middle_of(cell), cell->material_id());
      for (const Point<3> &p : points.get_points())
        if (problem_.material_at(Level::logical_point(cell, p), cell->material_id()) != material)
          throw std::logic_error("a cell holds two materials");
      of_material[material].push_back({++number, element});
      for (const auto &node : element)
        for (unsigned c = 0; c < 3; ++c)
          nodes[node[0] + 1][c] = level_.position[node[c]];
    }
    next_element_ = number + 1;
    for (const auto &[n, x] : nodes)
      out_ << n << ", " << x[0] << ", " << x[1] << ", " << x[2] << "\n";
    for (const auto &[material, elements] : of_material) {
      out_ << "*ELEMENT, TYPE=C3D20, ELSET=M" << material << "\n";
      for (const auto &[e, list] : elements) {
        out_ << e;
        for (unsigned n = 0; n < 20; ++n) // at most 16 entries a line
          out_ << (n == 10 ? ",\n" : ", ") << list[n][0] + 1;
        out_ << "\n";
      }
      Sym2 stress;
      Sym4 cc;
      problem_.materials[material]->tangent(Tensor2(dealii::unit_symmetric_tensor<3>()), stress, cc);
      out_ << "*MATERIAL, NAME=MAT" << material << "\n*ELASTIC, TYPE=ANISO\n";
      constexpr unsigned pairs[6][2] = {{0, 0}, {1, 1}, {2, 2}, {0, 1}, {0, 2}, {1, 2}};
      unsigned count = 0; // 11 11, 11 22, 22 22, 11 33, ... column by column of the upper half, 8 a line
      for (unsigned j = 0; j < 6; ++j)
        for (unsigned i = 0; i <= j; ++i)
          out_ << cc[pairs[i][0]][pairs[i][1]][pairs[j][0]][pairs[j][1]] << (++count % 8 == 0 ? ",\n" : ", ");
      out_ << "293.\n*SOLID SECTION, ELSET=M" << material << ", MATERIAL=MAT" << material << "\n";
    }
  }

  /// The midfoot, and what grip and rims hang on: a reference node and one for its turns each.
  void carrier() {
    const auto &modes = problem_.carrier.modes;
    // Where the turns displace nothing along the vertical: roll about a line along x, pitch about one along y.
    const auto upwards = [&](const unsigned m, const Vec3 &x) { return modes[m](x)[2]; };
    const double medial = -upwards(1, {0, 0, 0}) / (upwards(1, {0, 1, 0}) - upwards(1, {0, 0, 0})),
                 distal = -upwards(2, {0, 0, 0}) / (upwards(2, {1, 0, 0}) - upwards(2, {0, 0, 0}));
    for (const unsigned body : {0u, 1u}) {
      reference_[body] = new_node(body == 0 ? Vec3{distal, medial, 0} : Vec3{0, 0, 0});
      turn_[body] = new_node({0, 0, 0});
    }
    for (const unsigned m : {1u, 2u})
      if (const double held = problem_.carrier.holding[m].stiffness; held > 0) {
        // per mm of the mode; the mode's size is that of a turn by 1 rad over its arm
        const double arm = 1 / std::abs(upwards(m, {distal + 1, medial + 1, 0}));
        spring("SPRING1", {turn_[0]}, m, held * arm * arm);
      }
  }

  unsigned on_body(const unsigned body, const Vec3 &x) {
    const unsigned node = new_node(x);
    ridden_[body].push_back(node);
    return node;
  }

  /// Visits the 3 x 3 Gauss points of every face with an id: `area` is the vector area that belongs to a point, mm2.
  template <typename Visit> void on_faces(const unsigned id, const Visit &visit) {
    const dealii::QGauss<2> quadrature(3);
    for (const Cell &cell : level_.dofs.active_cell_iterators())
      for (const unsigned f : cell->face_indices()) {
        if (!cell->face(f)->at_boundary() || cell->face(f)->boundary_id() != id)
          continue;
        const unsigned axis = f / 2, first = axis == 0 ? 1 : 0, second = axis == 2 ? 1 : 2;
        std::vector<Point<3>> points;
        for (const Point<2> &p : quadrature.get_points()) {
          points.emplace_back();
          points.back()[axis] = f % 2;
          points.back()[first] = p[0];
          points.back()[second] = p[1];
        }
        dealii::FEValues<3> values(*level_.mapping, level_.fe,
                                   dealii::Quadrature<3>(points, quadrature.get_weights()),
                                   dealii::update_JxW_values | dealii::update_inverse_jacobians);
        values.reinit(cell);
        const auto nodes = ccx_element(level_, cell);
        for (unsigned q = 0; q < points.size(); ++q) {
          Vec3 area{};
          for (unsigned c = 0; c < 3; ++c)
            area[c] = values.JxW(q) * values.inverse_jacobian(q)[axis][c];
          visit(nodes, shape_at(points[q]), area);
        }
      }
  }

  /// A node that moves as the element does at a point, and its partner on a rigid body.
  struct Ends {
    unsigned here, there;
    Vec3 x;
  };
  Ends ends_at(const CcxElement &nodes, const Shape &shape, const unsigned body) {
    Ends ends{0, 0, {}};
    for (unsigned n = 0; n < 20; ++n)
      for (unsigned c = 0; c < 3; ++c)
        ends.x[c] += shape[n] * level_.position[nodes[n][c]];
    ends.here = new_node(ends.x);
    for (unsigned c = 1; c <= 3; ++c) {
      std::vector<Term> terms = {{ends.here, c, 1}};
      for (unsigned n = 0; n < 20; ++n)
        if (std::abs(shape[n]) > 1e-12)
          terms.push_back({nodes[n][0] + 1, c, -shape[n]});
      equation(terms);
    }
    ends.there = on_body(body, ends.x);
    return ends;
  }

  void springs() {
    for (const SpringFace &s : problem_.springs) {
      if (!s.on_carrier && !s.on_slide)
        throw std::logic_error("a spring is held in space");
      const unsigned body = s.on_carrier ? 0 : 1;
      // Axes of the springs: the first along `axis`.
      const Vec3 sideways = unit(cross(std::abs(s.axis[0]) < 0.9 ? Vec3{1, 0, 0} : Vec3{0, 1, 0}, s.axis));
      const std::string axes = "AXES" + std::to_string(s.id);
      out_ << "*ORIENTATION, NAME=" << axes << ", SYSTEM=RECTANGULAR\n"
           << s.axis[0] << ", " << s.axis[1] << ", " << s.axis[2] << ", " << sideways[0] << ", "
           << sideways[1] << ", " << sideways[2] << "\n";
      on_faces(s.id, [&](const auto &nodes, const Shape &shape, const Vec3 &area) {
        const Ends ends = ends_at(nodes, shape, body);
        for (unsigned c = 1; c <= 3; ++c)
          if (const double k = c == 1 ? s.normal : s.tangential; k > 0)
            spring("SPRING2", {ends.here, ends.there}, c, k * norm(area), {}, axes);
      });
    }
  }

  void ground() {
    const GroundFace &g = problem_.ground[0];
    on_faces(g.id, [&](const auto &nodes, const Shape &shape, const Vec3 &area) {
      if (!g.grip)
        return;
      const Ends ends = ends_at(nodes, shape, 1);
      for (unsigned c = 1; c <= 2; ++c)
        spring("SPRING2", {ends.here, ends.there}, c, g.grip(ends.x) * std::abs(area[2]));
    });
    // The ground: a plate whose upper face stands where the gap is nil.
    const double height = -g.gap({0, 0, 0}), half = 200;
    std::array<unsigned, 8> corner{};
    for (unsigned i = 0; i < 8; ++i)
      corner[i] = new_node(
          {i % 4 == 0 || i % 4 == 3 ? -half : half, i % 4 < 2 ? -half : half, height - (i < 4 ? 1 : 0)});
    plate_ = next_element_++;
    plate_nodes_ = corner;
    out_ << "*ELEMENT, TYPE=C3D8, ELSET=PLATE\n" << plate_;
    for (const unsigned n : corner)
      out_ << ", " << n;
    out_ << "\n*MATERIAL, NAME=PLATE\n*ELASTIC\n1000., 0.\n*SOLID SECTION, ELSET=PLATE, MATERIAL=PLATE\n";
  }

  void contact() {
    std::map<std::string, std::vector<std::string>> faces;
    unsigned number = 0;
    for (const Cell &cell : level_.dofs.active_cell_iterators()) {
      ++number;
      for (const unsigned f : cell->face_indices()) {
        if (!cell->face(f)->at_boundary())
          continue;
        const unsigned id = cell->face(f)->boundary_id();
        const Vec3 middle = middle_of(cell);
        std::string name;
        const std::string part =
            (middle[0] > 4 ? "HEAD" : "SHAFT") + std::to_string(logical::ray_of(middle[1]));
        if (id == problem_.contact[0].upper_id)
          name = part;
        else if (id == problem_.contact[0].lower_id)
          name = under + part;
        else if (id == problem_.ground[0].id)
          name = "SOLE";
        if (!name.empty())
          faces[name].push_back(std::to_string(number) + ", S" + std::to_string(ccx_face[f]));
      }
    }
    faces[under + "SOLE"] = {std::to_string(plate_) + ", S2"};
    for (const auto &[name, list] : faces) {
      out_ << "*SURFACE, NAME=" << name << ", TYPE=ELEMENT\n";
      for (const std::string &face : list)
        out_ << face << "\n";
    }
    // A part of the skin has a part of the insole to itself: where several share a face, CalculiX 2.20 loses a third of
    // the area of contact.
    for (const auto &[name, list] : faces)
      if (name.rfind(under, 0) != 0) {
        pairs_.push_back(name);
        out_ << "*CONTACT PAIR, INTERACTION=" << (name == "SOLE" ? "GROUND" : "INSOLE")
             << ", TYPE=SURFACE TO SURFACE\n"
             << name << ", " << under << name << "\n";
      }
    for (const auto &[name, stiffness] : {std::pair{"INSOLE", problem_.contact[0].stiffness},
                                          std::pair{"GROUND", problem_.ground[0].stiffness}})
      out_ << "*SURFACE INTERACTION, NAME=" << name << "\n*SURFACE BEHAVIOR, PRESSURE-OVERCLOSURE=LINEAR\n"
           << stiffness << "\n";
  }

  /// Weights of the nodes in a region's mean, summing to 1.
  std::map<unsigned, double> weights(const Region &region) const {
    std::map<unsigned, double> sum;
    double total = 0;
    dealii::FEValues<3> values(*level_.mapping, level_.fe, dealii::QGauss<3>(3), dealii::update_JxW_values);
    for (const Cell &cell : level_.dofs.active_cell_iterators()) {
      if (region(middle_of(cell), cell->material_id()) <= 0)
        continue;
      values.reinit(cell);
      const auto nodes = ccx_element(level_, cell);
      for (unsigned q = 0; q < values.n_quadrature_points; ++q) {
        const Point<3> p = values.get_quadrature().point(q);
        const double w = region(Level::logical_point(cell, p), cell->material_id()) * values.JxW(q);
        const Shape shape = shape_at(p);
        for (unsigned n = 0; n < 20; ++n)
          sum[nodes[n][0] + 1] += w * shape[n];
        total += w;
      }
    }
    for (auto &[n, w] : sum)
      w /= total;
    return sum;
  }

  unsigned mean_node(const Region &region, const Vec3 &x) {
    const unsigned node = new_node(x);
    for (unsigned c = 1; c <= 3; ++c) {
      std::vector<Term> terms = {{node, c, 1}};
      for (const auto &[n, w] : weights(region))
        terms.push_back({n, c, -w});
      equation(terms);
    }
    return node;
  }

  /// Force against elongation: <f + k e>_+ + c.
  static std::vector<std::array<double, 2>> curve_of(const Tie &tie) {
    constexpr double most = 20; // mm
    const double slack = -tie.force / tie.stiffness;
    return {{slack - most, tie.constant},
            {slack, tie.constant},
            {most, tie.force + tie.stiffness * most + tie.constant}};
  }

  void ties() {
    for (const Tie &tie : problem_.ties)
      if (tie.stop > 0)
        stop(tie);
      else if (tie.stiffness > 0)
        string(tie);
      else
        throw std::logic_error("a tie has no stiffness");
  }

  void string(const Tie &tie) {
    const double length = tie.length > 0 ? tie.length : far;
    const unsigned end = mean_node(tie.region, tie.anchor + length * tie.direction),
                   begin = tie.other ? mean_node(tie.other, tie.anchor) : on_body(0, tie.anchor);
    spring("SPRINGA", {begin, end}, 0, 0, curve_of(tie));
  }

  /// A node whose first component is the elongation, on a spring from a fixed one: with SPRING1 and a table CalculiX
  /// 2.20 takes ten times the iterations.
  void stop(const Tie &tie) {
    if (!tie.other || !tie.both_on_carrier || tie.length > 0 || tie.stiffness > 0 || tie.force > 0)
      throw std::logic_error("a stop is not what a joint has");
    const unsigned node = new_node({0, 0, 0});
    std::vector<Term> terms = {{node, 1, 1}};
    std::map<unsigned, double> sum = weights(tie.region);
    for (const auto &[n, w] : weights(tie.other))
      sum[n] -= w;
    for (const auto &[n, w] : sum)
      for (unsigned c = 0; c < 3; ++c)
        if (w * tie.direction[c] != 0)
          terms.push_back({n, c + 1, -w * tie.direction[c]});
    // direction . (turn x (anchor - other)) = turn . ((anchor - other) x direction)
    const Vec3 lever = cross(tie.anchor - tie.other_anchor, tie.direction);
    for (unsigned c = 0; c < 2; ++c)
      terms.push_back({turn_[0], c + 1, lever[c]});
    equation(terms);
    const unsigned fixed = new_node({-100, 0, 0});
    out_ << "*BOUNDARY\n" << node << ", 2, 3\n" << fixed << ", 1, 3\n";
    std::vector<std::array<double, 2>> curve;
    for (int i = -90; i <= 90; ++i) {
      const double x = i / 100.0, a = std::abs(x);
      curve.push_back({x * tie.stop, (x < 0 ? -1 : 1) * tie.stop_force * (a / (1 - a) - a)});
    }
    spring("SPRINGA", {fixed, node}, 0, 0, curve);
  }

  void step() {
    for (const unsigned body : {0u, 1u}) {
      out_ << "*NSET, NSET=RIDES" << body << "\n";
      for (const unsigned n : ridden_[body])
        out_ << n << ",\n";
      out_ << "*RIGID BODY, NSET=RIDES" << body << ", REF NODE=" << reference_[body]
           << ", ROT NODE=" << turn_[body] << "\n";
    }
    out_ << "*NSET, NSET=MIDFOOT\n" << reference_[0] << ", " << turn_[0] << "\n";
    out_ << "*BOUNDARY\n"
         << reference_[0] << ", 1, 2\n"
         << turn_[0] << ", 3, 3\n"
         << reference_[1] << ", 3, 3\n"
         << turn_[1] << ", 1, 2\n";
    for (const unsigned n : plate_nodes_)
      out_ << n << ", 1, 3\n";
    out_ << "*STEP, INC=200\n*STATIC\n1., 1.\n*CLOAD\n"
         << reference_[0] << ", 3, " << -problem_.carrier.force << "\n";
    std::map<std::pair<unsigned, unsigned>, double> forces;
    for (const RegionForce &force : problem_.region_forces)
      for (const auto &[n, w] : weights(force.region))
        for (unsigned c = 0; c < 3; ++c)
          forces[{n, c + 1}] += w * force.force[c];
    for (const auto &[place, f] : forces)
      if (f != 0)
        out_ << place.first << ", " << place.second << ", " << f << "\n";
    out_ << "*NODE PRINT, NSET=BODY, FREQUENCY=1000\nU\n*NODE PRINT, NSET=MIDFOOT, FREQUENCY=1000\nU\n";
    for (const std::string &name : pairs_)
      out_ << "*CONTACT PRINT, MASTER=" << under << name << ", SLAVE=" << name << ", FREQUENCY=1000\nCF\n";
    out_ << "*END STEP\n";
  }

  const std::string under = "UNDER"; ///< before the name of what lies below
  static constexpr double far = 1e4; // mm: a tie whose direction stays

  const Problem &problem_;
  const Level &level_;
  std::ofstream out_;
  unsigned next_node_, next_element_ = 1;
  std::array<unsigned, 2> reference_{}, turn_{};
  std::array<std::vector<unsigned>, 2> ridden_;
  unsigned plate_ = 0;
  std::array<unsigned, 8> plate_nodes_{};
  std::vector<std::string> pairs_; ///< upper surfaces of the contact pairs
};

CcxForefoot read_forefoot(const std::filesystem::path &path, const unsigned midfoot) {
  CcxForefoot answer{};
  std::map<std::string, double> force; // on each slave surface, upwards
  std::ifstream in(path);
  std::string slave;
  for (std::string line; std::getline(in, line);) {
    std::istringstream words(line);
    unsigned number = 0;
    Vec3 u{};
    if (const std::size_t at = line.find("slave set "); at != std::string::npos) {
      slave = line.substr(at + 10, line.find(',', at) - at - 10);
    } else if (line.find("total surface force") != std::string::npos) {
      std::getline(in, line); // empty
      std::getline(in, line);
      std::istringstream numbers(line);
      numbers >> u[0] >> u[1] >> u[2];
      force[slave] = u[2];
    } else if (line.find("area,") != std::string::npos) {
      double area = 0;
      std::getline(in, line);
      in >> area;
      answer.contact_area += slave == "SOLE" ? 0 : area;
    } else if (slave.empty() && words >> number >> u[0] >> u[1] >> u[2]) {
      answer.displacement[number] = u;
    }
  }
  if (force.size() != 11 || answer.displacement.count(midfoot) == 0)
    throw std::runtime_error("ccx did not answer for every part of the forefoot");
  for (int ray = 1; ray <= 5; ++ray)
    answer.head_force[ray - 1] = force.at("HEAD" + std::to_string(ray));
  answer.ground_force = force.at("SOLE");
  answer.midfoot_drop = -answer.displacement.at(midfoot)[2];
  return answer;
}

} // namespace

unsigned ccx_node_at(const Level &level, const Vec3 &logical) {
  for (const Cell &cell : level.dofs.active_cell_iterators())
    for (unsigned n = 0; n < 20; ++n)
      if (norm(Level::logical_point(cell, Point<3>(c3d20_nodes[n][0], c3d20_nodes[n][1], c3d20_nodes[n][2])) -
               logical) < 1e-9)
        return ccx_element(level, cell)[n][0] + 1;
  throw std::logic_error("no node of a 20-node element stands there");
}

CcxForefoot run_ccx_forefoot(const Body &body) {
  const Scratch scratch;
  unsigned midfoot = 0;
  {
    DeckWriter deck(body, scratch.path / "body.inp");
    deck.write();
    midfoot = deck.midfoot();
  }
  run_deck(scratch.path);
  return read_forefoot(scratch.path / "body.dat", midfoot);
}

} // namespace raybend
