// The bulk: the cells' part of energy, residual and tangent.
#include "solver/operator/bulk.hpp"
#include "solver/operator/evaluators.hpp"
#include "solver/operator/folded_cell.hpp"
#include <algorithm>
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_q.h>

namespace raybend {

using namespace dealii;

namespace {
constexpr double level_bound = 0.5; // shear moduli of compressive stress where the tangent is bounded
constexpr unsigned cell_nodes = 27;
} // namespace

void Bulk::update_problem(const Problem &problem) {
  problem_ = &problem;
  find_materials();
  make_mixed_cells();
  make_kernels();
}

void Bulk::find_materials() {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  const QGauss<3> quadrature(n_points_1d);
  material_.resize(mf.n_cell_batches() * n_q);
  linearized_.resize(material_.size());
  CellEval phi(mf);
  double scale = 0;
  std::array<double, 4> folded = {0, 0, 0, 0}; // whether a cell is, its place; the last one's
  double tag = 0;
  for (unsigned c = 0; c < mf.n_cell_batches(); ++c) {
    const auto cell = mf.get_cell_iterator(c, 0);
    phi.reinit(c);
    for (unsigned q = 0; q < n_q; ++q) {
      if (!(phi.JxW(q)[0] > 0)) {
        const Vec3 place = Level::logical_point(cell, quadrature.point(q));
        folded = {1, place[0], place[1], place[2]};
        tag = cell->material_id();
      }
      unsigned &index = material_[c * n_q + q];
      index = problem_->material_at(Level::logical_point(cell, quadrature.point(q)), cell->material_id());
      scale += problem_->materials[index]->initial_shear() * phi.JxW(q)[0];
    }
  }
  const std::vector<double> mine = {folded[0], folded[1], folded[2], folded[3], tag};
  for (const auto &theirs : Utilities::MPI::all_gather(level_.comm, mine))
    if (theirs[0] > 0)
      throw FoldedCell({theirs[1], theirs[2], theirs[3]}, static_cast<unsigned>(theirs[4]));
  stiffness_volume_ = Utilities::MPI::sum(scale, level_.comm);
}

void Bulk::make_mixed_cells() {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  mixed_of_.assign(mf.n_cell_batches(), -1);
  mixed_.clear();
  CellEval phi(mf);
  for (unsigned c = 0; c < mf.n_cell_batches(); ++c) {
    const unsigned *index = &material_[c * n_q];
    if (!problem_->materials[index[0]]->mixed() ||
        std::any_of(index, index + n_q, [&](unsigned i) { return i != index[0]; }))
      continue;
    if (problem_->materials[index[0]]->point_form() == PointForm::any)
      throw std::logic_error("a mixed material needs an invariant tangent (Material::invariant_tangent)");
    phi.reinit(c);
    std::array<Point<3>, n_q> place;
    MixedCell::Values weight;
    for (unsigned q = 0; q < n_q; ++q) {
      const auto p = phi.quadrature_point(q);
      place[q] = Point<3>(p[0][0], p[1][0], p[2][0]);
      weight[q] = phi.JxW(q)[0];
    }
    mixed_of_[c] = mixed_.size();
    mixed_.emplace_back();
    mixed_.back().reinit(place, weight);
  }
  volume_stiffness_.resize(mixed_.size());
}

void Bulk::make_kernels() {
  form_.assign(mixed_of_.size(), PointForm::volume);
  for (unsigned c = 0; c < form_.size(); ++c) {
    for (unsigned q = 0; q < n_q; ++q)
      form_[c] = std::max(form_[c], problem_->materials[material_[c * n_q + q]]->point_form());
    if (mixed_of_[c] >= 0)
      form_[c] = PointForm::mixed;
  }
  exact_.reinit(level_, form_);
  rough_.reinit(level_, form_);
  assembly_.reset();
}

bool Bulk::add_residual(Vector &residual, const Vector &u, const Range &cells, bool forces,
                        double &energy) const {
  CellEval phi(level_.matrix_free);
  Tensor2 f[n_q];
  Sym2 s[n_q];
  for (unsigned c = cells.first; c < cells.second; ++c) {
    phi.reinit(c);
    phi.read_dof_values_plain(u);
    phi.evaluate(EvaluationFlags::gradients);
    for (unsigned q = 0; q < n_q; ++q) {
      f[q] = deformation(plain(phi.get_gradient(q)));
      const Material &material = *problem_->materials[material_[c * n_q + q]];
      if (!material.admissible(f[q]))
        return false;
      energy += material.energy_and_stress(f[q], s[q]) * phi.JxW(q)[0];
    }
    if (mixed_of_[c] >= 0) {
      const Material &material = *problem_->materials[material_[c * n_q]];
      MixedCell::Values theta;
      if (!project_pressure(material, mixed_[mixed_of_[c]], f, s, &theta))
        return false;
      for (unsigned q = 0; q < n_q; ++q)
        energy += (material.volume_energy(theta[q]).value - material.volume_energy(determinant(f[q])).value) *
                  phi.JxW(q)[0];
    }
    if (!forces)
      continue;
    for (unsigned q = 0; q < n_q; ++q)
      phi.submit_gradient(wide(f[q] * Tensor2(s[q])), q);
    phi.integrate(EvaluationFlags::gradients);
    phi.distribute_local_to_global(residual);
  }
  return true;
}

void Bulk::linearize(const Vector &u, bool on_level) {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  CellEval phi(mf);
  for (unsigned c = 0; c < mf.n_cell_batches(); ++c) {
    phi.reinit(c);
    phi.read_dof_values_plain(u);
    phi.evaluate(EvaluationFlags::gradients);
    for (unsigned q = 0; q < n_q; ++q) {
      const std::size_t at = c * n_q + q;
      Linearized &p = linearized_[at];
      p.f = deformation(plain(phi.get_gradient(q)));
      const Material &material = *problem_->materials[material_[at]];
      if (on_level && !material.admissible(p.f)) { // an interpolated state can be worse than the state itself
        p.f = 0;
        for (unsigned i = 0; i < 3; ++i)
          p.f[i][i] = 1;
      }
      p.invariant = material.invariant_tangent(p.f, p.tangent);
      if (!p.invariant) {
        general_.resize(linearized_.size());
        material.tangent(p.f, general_[at].s, general_[at].cc);
      }
    }
    if (mixed_of_[c] >= 0)
      linearize_mixed(c);
  }
  fill(on_level ? level_bound : -1, on_level ? nullptr : &exact_, &rough_);
}

void Bulk::linearize_mixed(unsigned batch) {
  const MixedCell &cell = mixed_[mixed_of_[batch]];
  const Material &material = *problem_->materials[material_[batch * n_q]];
  Linearized *points = &linearized_[batch * n_q];
  MixedCell::Values j;
  for (unsigned q = 0; q < n_q; ++q)
    j[q] = determinant(points[q].f);
  const ProjectedVolume volume = project_volume(material, cell, j);
  volume_stiffness_[mixed_of_[batch]] = cell.stiffness(volume.curvature);
  // dS of the pressure part q J C^-1 with q held is q J (C^-1 (x) C^-1 - 2 C^-1 (.) C^-1); J^2 U'' C^-1 (x)
  // C^-1 of the law's own tangent is what the projection replaces.
  for (unsigned q = 0; q < n_q; ++q) {
    const Material::VolumeEnergy u = material.volume_energy(j[q]);
    const double extra = (volume.pressure[q] - u.slope) * j[q];
    points[q].tangent.h += extra;
    points[q].tangent.c += extra - u.curvature * j[q] * j[q];
  }
}

void Bulk::fill(double bound, CellKernel<double> *exact, CellKernel<float> *rough) const {
  using P = PointPlace;
  CellEval phi(level_.matrix_free);
  PointNumbers a;
  for (unsigned c = 0; c < mixed_of_.size(); ++c) {
    phi.reinit(c);
    const int mixed = mixed_of_[c];
    for (unsigned q = 0; q < n_q; ++q) {
      const std::size_t at = c * n_q + q;
      const Linearized &p = linearized_[at];
      const double most = bound * problem_->materials[material_[at]]->initial_shear();
      const Tensor2 inverse = plain(phi.inverse_jacobian(q));
      const double w = phi.JxW(q)[0];
      if (p.invariant) {
        pack_point(p.f, p.tangent, most, inverse, w, a);
        if (mixed >= 0) {
          a[P::volume] = w * determinant(p.f);
          for (unsigned i = 0; i < 3; ++i)
            a[P::moment + i] = mixed_[mixed].n[q][i + 1];
        }
        if (form_[c] == PointForm::any) {
          double full[45];
          expand_point(PointForm::invariant, a.data(), full);
          std::copy_n(full, 45, a.begin());
        }
      } else {
        pack_point(p.f, general_[at].s, general_[at].cc, most, inverse, w, a);
      }
      if (rough)
        rough->set_point(c, q, a);
      if (exact)
        exact->set_point(c, q, a);
    }
    if (mixed >= 0) {
      std::array<std::array<double, 4>, 4> h = volume_stiffness_[mixed];
      if (bound == 0) { // nothing negative is left
        const Material &material = *problem_->materials[material_[c * n_q]];
        MixedCell::Values j;
        for (unsigned q = 0; q < n_q; ++q)
          j[q] = determinant(linearized_[c * n_q + q].f);
        MixedCell::Values curvature = project_volume(material, mixed_[mixed], j).curvature;
        for (double &entry : curvature)
          entry = std::max(entry, 0.0);
        h = mixed_[mixed].stiffness(curvature);
      }
      if (rough)
        rough->set_volume_stiffness(c, h);
      if (exact)
        exact->set_volume_stiffness(c, h);
    }
  }
}

void Bulk::bound_tangent() {
  fill(level_bound, &exact_, &rough_);
}

void Bulk::list_blocks(std::vector<unsigned> &nodes) const {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  const std::vector<unsigned> lexicographic = FETools::lexicographic_to_hierarchic_numbering<3>(fe_degree);
  std::vector<types::global_dof_index> index(3 * cell_nodes);
  for (unsigned batch = 0; batch < mf.n_cell_batches(); ++batch) {
    mf.get_cell_iterator(batch, 0)->get_dof_indices(index);
    nodes.push_back(cell_nodes);
    for (unsigned i = 0; i < cell_nodes; ++i)
      for (unsigned c = 0; c < 3; ++c)
        nodes.push_back(index[level_.fe.component_to_system_index(c, lexicographic[i])]);
  }
}

// K_(i c)(j d) = int grad N_i . A_cd grad N_j
void Bulk::add_blocks(double bound, std::vector<double> &values) const {
  if (!assembly_) {
    assembly_ = std::make_unique<CellKernel<double>>();
    assembly_->reinit(level_, form_);
  }
  fill(bound, assembly_.get(), nullptr);
  NodePairs pairs(1);
  for (unsigned char i = 0; i < cell_nodes; ++i)
    for (unsigned char j = i; j < cell_nodes; ++j)
      pairs[0].push_back({i, j});
  pairs.resize(mixed_of_.size(), pairs[0]);
  assembly_->pair_matrices(pairs, values);
}

Bulk::Pressed Bulk::most_pressed(const Vector &u) const {
  const QGauss<3> quadrature(n_points_1d);
  const bool had_ghosts = u.has_ghost_elements();
  u.update_ghost_values();
  CellEval phi(level_.matrix_free);
  std::vector<double> mine = {1, 0, 0, 0, 0}; // volume, place, tag
  for (unsigned c = 0; c < level_.matrix_free.n_cell_batches(); ++c) {
    const auto cell = level_.matrix_free.get_cell_iterator(c, 0);
    phi.reinit(c);
    phi.read_dof_values_plain(u);
    phi.evaluate(EvaluationFlags::gradients);
    for (unsigned q = 0; q < n_q; ++q) {
      const double volume = determinant(deformation(plain(phi.get_gradient(q))));
      if (volume >= mine[0])
        continue;
      const Vec3 place = Level::logical_point(cell, quadrature.point(q));
      mine = {volume, place[0], place[1], place[2], double(cell->material_id())};
    }
  }
  if (!had_ghosts)
    u.zero_out_ghost_values();
  const auto all = Utilities::MPI::all_gather(level_.comm, mine);
  const auto &worst = *std::min_element(all.begin(), all.end());
  return {worst[0], {worst[1], worst[2], worst[3]}, static_cast<unsigned>(worst[4])};
}

} // namespace raybend
