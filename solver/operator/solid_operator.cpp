#include "solver/operator/solid_operator.hpp"
#include <deal.II/base/quadrature_lib.h>

namespace raybend {

using namespace dealii;

static_assert(
    VectorizedArray<double>::size() == 1,
    "written for the packaged deal.II, whose cell batches hold one cell; wider batches need lane loops here");

namespace {

Tensor<1, 3> tensor(const Vec3 &v) {
  return Tensor<1, 3>({v[0], v[1], v[2]});
}
Vec3 vec(const Point<3> &p) {
  return {p[0], p[1], p[2]};
}

Tensor2 plain(const Tensor<2, 3, VectorizedArray<double>> &a) {
  Tensor2 b;
  for (unsigned i = 0; i < 3; ++i)
    for (unsigned j = 0; j < 3; ++j)
      b[i][j] = a[i][j][0];
  return b;
}
Tensor<1, 3> plain(const Tensor<1, 3, VectorizedArray<double>> &a) {
  return Tensor<1, 3>({a[0][0], a[1][0], a[2][0]});
}

template <typename T> Tensor<2, 3, VectorizedArray<double>> wide(const Tensor<2, 3, T> &a) {
  Tensor<2, 3, VectorizedArray<double>> b;
  for (unsigned i = 0; i < 3; ++i)
    for (unsigned j = 0; j < 3; ++j)
      b[i][j] = a[i][j];
  return b;
}
Tensor<1, 3, VectorizedArray<double>> wide(const Tensor<1, 3> &a) {
  Tensor<1, 3, VectorizedArray<double>> b;
  for (unsigned i = 0; i < 3; ++i)
    b[i] = a[i];
  return b;
}

Point<3> real_point(const Point<3, VectorizedArray<double>> &p) {
  return Point<3>(p[0][0], p[1][0], p[2][0]);
}

constexpr double level_bound = 0.5; // shear moduli of compressive stress on levels below the finest

Tensor<1, 3> spring_force(const SpringFace &s, const Tensor<1, 3> &u) {
  const Tensor<1, 3> a = tensor(s.axis);
  return s.tangential * u + (s.normal - s.tangential) * (a * u) * a;
}

} // namespace

SolidOperator::SolidOperator(const Problem &problem, const Level &level) : problem_(&problem), level_(level) {
  linearized_.resize(level.matrix_free.n_cell_batches() * n_q);
  update_problem(problem);
}

void SolidOperator::update_problem(const Problem &problem) {
  problem_ = &problem;
  ++shape_number_;
  make_materials();
  make_mixed_cells();
  make_faces();
  make_kernels();
  make_vectors();
}

void SolidOperator::make_materials() {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  const QGauss<3> quadrature(n_points_1d);
  material_.resize(mf.n_cell_batches() * n_q);
  CellEval phi(mf);
  double scale = 0;
  for (unsigned c = 0; c < mf.n_cell_batches(); ++c) {
    const auto cell = mf.get_cell_iterator(c, 0);
    phi.reinit(c);
    for (unsigned q = 0; q < n_q; ++q) {
      unsigned &index = material_[c * n_q + q];
      index = problem_->material_at(Level::logical_point(cell, quadrature.point(q)), cell->material_id());
      scale += problem_->materials[index]->initial_shear() * phi.JxW(q)[0];
    }
  }
  stiffness_volume_ = Utilities::MPI::sum(scale, level_.comm);
}

void SolidOperator::make_faces() {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  const unsigned inner = mf.n_inner_face_batches(), all = inner + mf.n_boundary_face_batches();
  slots_.assign(all, FaceSlot());
  unsigned offset = 0;
  for (unsigned f = 0; f < inner; ++f) {
    const auto [cell, number] = mf.get_face_iterator(f, 0, true);
    const unsigned id = cell->face(number)->boundary_id();
    for (unsigned i = 0; i < problem_->contact.size(); ++i)
      if (id == problem_->contact[i].upper_id || id == problem_->contact[i].lower_id) {
        slots_[f] = {FaceKind::contact, i, id == problem_->contact[i].upper_id ? 1.0 : -1.0, offset};
        offset += n_q_face;
      }
  }
  for (unsigned f = inner; f < all; ++f) {
    const unsigned id = mf.get_boundary_id(f);
    const auto look = [&](const auto &list, FaceKind kind) {
      for (unsigned i = 0; i < list.size(); ++i)
        if (list[i].id == id && slots_[f].kind != FaceKind::none)
          throw std::logic_error("boundary " + std::to_string(id) +
                                 " is asked to carry two of spring, traction and ground");
        else if (list[i].id == id)
          slots_[f] = {kind, i, 1.0, offset};
    };
    look(problem_->springs, FaceKind::spring);
    look(problem_->tractions, FaceKind::traction);
    look(problem_->ground, FaceKind::ground);
    offset += n_q_face;
  }
  gap0_.assign(offset, 0);
  active_.assign(offset, 0);
  grip_.assign(offset, 0);
  area_.assign(offset, 0);
  face_stiffness_.assign(offset, FaceStiffness());

  FaceEval phi_in(mf, true), phi_out(mf, false);
  for (unsigned f = 0; f < all; ++f) {
    const FaceSlot &slot = slots_[f];
    if (slot.kind == FaceKind::contact) {
      phi_in.reinit(f);
      phi_out.reinit(f);
      phi_in.read_dof_values_plain(level_.position);
      phi_out.read_dof_values_plain(level_.position);
      phi_in.evaluate(EvaluationFlags::values);
      phi_out.evaluate(EvaluationFlags::values);
      const ContactPair &pair = problem_->contact[slot.item];
      for (unsigned q = 0; q < n_q_face; ++q) {
        gap0_[slot.offset + q] =
            slot.sign * ((plain(phi_in.get_value(q)) - plain(phi_out.get_value(q))) * tensor(pair.direction));
        area_[slot.offset + q] =
            std::abs(plain(phi_in.get_normal_vector(q)) * tensor(pair.area_axis)) * phi_in.JxW(q)[0];
      }
    } else if (slot.kind == FaceKind::ground) {
      phi_in.reinit(f);
      const GroundFace &ground = problem_->ground[slot.item];
      for (unsigned q = 0; q < n_q_face; ++q) {
        const Vec3 x = vec(real_point(phi_in.quadrature_point(q)));
        gap0_[slot.offset + q] = ground.gap(x);
        grip_[slot.offset + q] = ground.grip ? ground.grip(x) : 0;
        area_[slot.offset + q] =
            std::abs(plain(phi_in.get_normal_vector(q)) * tensor(ground.area_axis)) * phi_in.JxW(q)[0];
      }
    } else if (slot.kind == FaceKind::spring) {
      phi_in.reinit(f);
      for (unsigned q = 0; q < n_q_face; ++q)
        area_[slot.offset + q] = phi_in.JxW(q)[0];
    }
  }
}

Vector SolidOperator::region_vector(const Region &region, const Vec3 &direction) const {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  const QGauss<3> quadrature(n_points_1d);
  Vector p;
  level_.initialize(p);
  double total = 0;
  CellEval phi(mf);
  for (unsigned c = 0; c < mf.n_cell_batches(); ++c) {
    const auto cell = mf.get_cell_iterator(c, 0);
    if (region(Level::logical_point(cell, Point<3>(0.5, 0.5, 0.5)), cell->material_id()) <= 0)
      continue;
    phi.reinit(c);
    for (unsigned q = 0; q < n_q; ++q) {
      const double w = region(Level::logical_point(cell, quadrature.point(q)), cell->material_id());
      total += w * phi.JxW(q)[0];
      phi.submit_value(wide(w * tensor(direction)), q);
    }
    phi.integrate(EvaluationFlags::values);
    phi.distribute_local_to_global(p);
  }
  p.compress(VectorOperation::add);
  p /= Utilities::MPI::sum(total, level_.comm);
  return p;
}

unsigned SolidOperator::n_modes() const {
  return problem_->carrier.modes.size() + problem_->slide.size();
}

const std::function<Vec3(const Vec3 &)> &SolidOperator::mode(unsigned m) const {
  const unsigned carrier = problem_->carrier.modes.size();
  return m < carrier ? problem_->carrier.modes[m] : problem_->slide[m - carrier];
}

double SolidOperator::plan_area(const FaceSlot &slot, const FaceEval &phi, unsigned q) const {
  return area_[slot.offset + q] / phi.JxW(q)[0];
}

Tensor<1, 3> SolidOperator::grip_force(const FaceSlot &slot, unsigned q, const Tensor<1, 3> &u) const {
  const Tensor<1, 3> d = tensor(problem_->ground[slot.item].direction);
  return grip_[slot.offset + q] * (u - (u * d) * d);
}

void SolidOperator::make_vectors() {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  const unsigned carrier = problem_->carrier.modes.size(), modes = n_modes();
  tie_.clear();
  tie_mode_.clear();
  for (const Tie &tie : problem_->ties) {
    tie_.push_back(region_vector(tie.region, tie.direction));
    std::vector<double> along;
    for (const auto &mode : problem_->carrier.modes)
      along.push_back(tie.other ? 0.0 : dot(tie.direction, mode(tie.anchor)));
    along.resize(modes, 0.0);
    if (tie.other)
      tie_.back().add(-1.0, region_vector(tie.other, tie.direction));
    tie_mode_.push_back(along);
  }

  spring_carrier_.assign(modes, Vector());
  for (Vector &v : spring_carrier_)
    level_.initialize(v);
  level_.initialize(external_);
  spring_g_.reinit(modes, modes);
  std::vector<double> g(modes * modes, 0.0);
  FaceEval phi(mf, true);
  for (unsigned f = mf.n_inner_face_batches(); f < slots_.size(); ++f) {
    const FaceSlot &slot = slots_[f];
    const SpringFace *spring = slot.kind == FaceKind::spring ? &problem_->springs[slot.item] : nullptr;
    const bool on_slide =
        spring ? spring->on_slide : slot.kind == FaceKind::ground && problem_->ground[slot.item].grip;
    const bool on_carrier = spring && spring->on_carrier;
    const unsigned first = on_carrier ? 0 : carrier, last = on_carrier ? carrier : modes;
    for (unsigned m = first; m < last && (on_carrier || on_slide); ++m) {
      phi.reinit(f);
      for (unsigned q = 0; q < n_q_face; ++q) {
        const Vec3 x = vec(real_point(phi.quadrature_point(q)));
        const Tensor<1, 3> v = tensor(mode(m)(x));
        const Tensor<1, 3> kv =
            spring ? spring_force(*spring, v) : plan_area(slot, phi, q) * grip_force(slot, q, v);
        for (unsigned n = first; n < last; ++n)
          g[m * modes + n] += kv * tensor(mode(n)(x)) * phi.JxW(q)[0];
        phi.submit_value(wide(kv), q);
      }
      phi.integrate(EvaluationFlags::values);
      phi.distribute_local_to_global(spring_carrier_[m]);
    }
    if (slot.kind == FaceKind::traction) {
      phi.reinit(f);
      for (unsigned q = 0; q < n_q_face; ++q)
        phi.submit_value(
            wide(tensor(problem_->tractions[slot.item].traction(vec(real_point(phi.quadrature_point(q)))))),
            q);
      phi.integrate(EvaluationFlags::values);
      phi.distribute_local_to_global(external_);
    }
  }
  for (Vector &v : spring_carrier_)
    v.compress(VectorOperation::add);
  for (unsigned m = 0; m < modes; ++m)
    for (unsigned n = 0; n < modes; ++n)
      spring_g_(m, n) = Utilities::MPI::sum(g[m * modes + n], level_.comm);

  if (problem_->body_force) {
    FEValues<3> values(*level_.mapping, level_.fe, QGauss<3>(n_points_1d),
                       update_values | update_quadrature_points | update_JxW_values);
    std::vector<types::global_dof_index> index(level_.fe.n_dofs_per_cell());
    dealii::Vector<double> local(index.size());
    for (const auto &cell : level_.dofs.active_cell_iterators())
      if (cell->is_locally_owned()) {
        values.reinit(cell);
        local = 0;
        for (unsigned q = 0; q < n_q; ++q) {
          const Vec3 b = problem_->body_force(vec(values.quadrature_point(q)));
          for (unsigned i = 0; i < index.size(); ++i)
            local[i] +=
                b[level_.fe.system_to_component_index(i).first] * values.shape_value(i, q) * values.JxW(q);
        }
        cell->get_dof_indices(index);
        level_.constraints.distribute_local_to_global(local, index, external_);
      }
  }
  external_.compress(VectorOperation::add);
  for (const RegionForce &force : problem_->region_forces)
    external_.add(1.0, region_vector(force.region, force.force));
  level_.constraints.set_zero(external_);
  external_.zero_out_ghost_values();
  small_columns_.columns.clear();
  for (const Vector &v : tie_)
    small_columns_.columns.push_back(&v);
  for (const Vector &v : spring_carrier_)
    small_columns_.columns.push_back(&v);
  small_columns_.finish();
}

SolidOperator::Small SolidOperator::solve_small(const Vector &u, double load) const {
  const unsigned modes = n_modes(), ties = problem_->ties.size();
  const dealii::Vector<double> product = small_columns_.project(u);

  Small small;
  small.motion.assign(modes, 0.0);
  small.active.assign(ties, true);
  small.tension.resize(ties);
  small.elongation.resize(ties);
  for (unsigned attempt = 0; attempt < 30; ++attempt) {
    small.g = spring_g_;
    dealii::Vector<double> rhs(modes), w(modes);
    for (unsigned m = 0; m < modes; ++m) {
      rhs[m] = product[ties + m] - (m == 0 ? load * problem_->carrier.force : 0.0);
      for (unsigned r = 0; r < ties; ++r) {
        const Tie &tie = problem_->ties[r];
        rhs[m] += tie_mode_[r][m] * load * tie.constant;
        if (!small.active[r])
          continue;
        rhs[m] += tie_mode_[r][m] * (load * tie.force + tie.stiffness * product[r]);
        for (unsigned n = 0; n < modes; ++n)
          small.g(m, n) += tie.stiffness * tie_mode_[r][m] * tie_mode_[r][n];
      }
    }
    if (modes > 0) {
      FullMatrix<double> inverse(small.g);
      inverse.gauss_jordan();
      inverse.vmult(w, rhs);
    }
    bool changed = false;
    for (unsigned r = 0; r < ties; ++r) {
      const Tie &tie = problem_->ties[r];
      double e = product[r];
      for (unsigned m = 0; m < modes; ++m)
        e -= tie_mode_[r][m] * w[m];
      const double t = load * tie.force + tie.stiffness * e;
      if ((t > 0) != small.active[r])
        changed = true;
      small.active[r] = t > 0;
      small.tension[r] = std::max(t, 0.0) + load * tie.constant;
      small.elongation[r] = e;
    }
    for (unsigned m = 0; m < modes; ++m)
      small.motion[m] = w[m];
    if (!changed)
      break;
  }
  return small;
}

std::vector<double> SolidOperator::carrier_motion(const Vector &u, double load) const {
  return solve_small(u, load).motion;
}
std::vector<double> SolidOperator::tie_tensions(const Vector &u, double load) const {
  return solve_small(u, load).tension;
}

// ---- energy and residual
// -------------------------------------------------------------------------------------

SolidOperator::Evaluation SolidOperator::evaluate(const Vector &u, double load, Vector *residual) const {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  energy_ = 0;
  admissible_ = true;
  skip_forces_ = residual == nullptr;
  Vector scratch;
  if (residual == nullptr)
    level_.initialize(scratch);
  Vector &r = residual ? *residual : scratch;
  mf.loop(&SolidOperator::residual_cells, &SolidOperator::residual_inner, &SolidOperator::residual_boundary,
          this, r, u, true);
  Evaluation result;
  result.noise = 2e-15 * stiffness_volume_;
  result.admissible = Utilities::MPI::min(admissible_ ? 1 : 0, level_.comm) == 1;
  if (!result.admissible)
    return result;
  result.energy = Utilities::MPI::sum(energy_, level_.comm) - load * (external_ * u);

  const Small small = solve_small(u, load);
  const unsigned modes = small.motion.size();
  if (modes > 0) {
    result.energy += load * problem_->carrier.force * small.motion[0];
    for (unsigned m = 0; m < modes; ++m) {
      const double across = small.motion[m] * (spring_carrier_[m] * u);
      result.energy -= across;
      // Stiff springs that ride far: large terms that cancel (springs' own energy has the size of `across`).
      result.noise += 1e-15 * std::abs(across);
      for (unsigned n = 0; n < modes; ++n)
        result.energy += 0.5 * small.motion[m] * small.motion[n] * spring_g_(m, n);
    }
  }
  for (unsigned k = 0; k < small.tension.size(); ++k) {
    const Tie &tie = problem_->ties[k];
    const double stretched = std::max(load * tie.force + tie.stiffness * small.elongation[k], 0.0);
    if (tie.stiffness > 0)
      result.energy += stretched * stretched / (2 * tie.stiffness);
    else
      result.energy += load * tie.force * small.elongation[k];
    result.energy += load * tie.constant * small.elongation[k];
  }
  if (residual) {
    r.add(-load, external_);
    for (unsigned m = 0; m < modes; ++m)
      r.add(-small.motion[m], spring_carrier_[m]);
    for (unsigned k = 0; k < small.tension.size(); ++k)
      r.add(small.tension[k], tie_[k]);
    level_.constraints.set_zero(r);
  }
  return result;
}

void SolidOperator::residual_cells(const MatrixFree<3, double> &mf, Vector &dst, const Vector &src,
                                   const Range &range) const {
  CellEval phi(mf);
  Tensor2 f[n_q];
  Sym2 s[n_q];
  for (unsigned c = range.first; c < range.second; ++c) {
    phi.reinit(c);
    phi.read_dof_values_plain(src);
    phi.evaluate(EvaluationFlags::gradients);
    for (unsigned q = 0; q < n_q; ++q) {
      f[q] = plain(phi.get_gradient(q));
      for (unsigned i = 0; i < 3; ++i)
        f[q][i][i] += 1;
      const Material &material = *problem_->materials[material_[c * n_q + q]];
      if (!material.admissible(f[q])) {
        admissible_ = false;
        return;
      }
      energy_ += material.energy_and_stress(f[q], s[q]) * phi.JxW(q)[0];
    }
    if (mixed_of_[c] >= 0) {
      const Material &material = *problem_->materials[material_[c * n_q]];
      MixedCell::Values theta;
      if (!project_pressure(material, mixed_[mixed_of_[c]], f, s, &theta)) {
        admissible_ = false;
        return;
      }
      for (unsigned q = 0; q < n_q; ++q)
        energy_ +=
            (material.volume_energy(theta[q]).value - material.volume_energy(determinant(f[q])).value) *
            phi.JxW(q)[0];
    }
    if (skip_forces_)
      continue;
    for (unsigned q = 0; q < n_q; ++q)
      phi.submit_gradient(wide(f[q] * Tensor2(s[q])), q);
    phi.integrate(EvaluationFlags::gradients);
    phi.distribute_local_to_global(dst);
  }
}

void SolidOperator::residual_inner(const MatrixFree<3, double> &mf, Vector &dst, const Vector &src,
                                   const Range &range) const {
  FaceEval inner(mf, true), outer(mf, false);
  for (unsigned face = range.first; face < range.second; ++face) {
    const FaceSlot &slot = slots_[face];
    if (slot.kind != FaceKind::contact)
      continue;
    const ContactPair &pair = problem_->contact[slot.item];
    const Tensor<1, 3> d = tensor(pair.direction);
    inner.reinit(face);
    outer.reinit(face);
    inner.read_dof_values_plain(src);
    outer.read_dof_values_plain(src);
    inner.evaluate(EvaluationFlags::values);
    outer.evaluate(EvaluationFlags::values);
    for (unsigned q = 0; q < n_q_face; ++q) {
      const double gap =
          gap0_[slot.offset + q] + slot.sign * ((plain(inner.get_value(q)) - plain(outer.get_value(q))) * d);
      const double plan = plan_area(slot, inner, q);
      const double pressure = pair.stiffness * std::max(-gap, 0.0);
      energy_ += 0.5 * pressure * std::max(-gap, 0.0) * plan * inner.JxW(q)[0];
      inner.submit_value(wide(-slot.sign * pressure * plan * d), q);
      outer.submit_value(wide(slot.sign * pressure * plan * d), q);
    }
    inner.integrate_scatter(EvaluationFlags::values, dst);
    outer.integrate_scatter(EvaluationFlags::values, dst);
  }
}

void SolidOperator::residual_boundary(const MatrixFree<3, double> &mf, Vector &dst, const Vector &src,
                                      const Range &range) const {
  FaceEval phi(mf, true);
  for (unsigned face = range.first; face < range.second; ++face) {
    const FaceSlot &slot = slots_[face];
    if (slot.kind != FaceKind::spring && slot.kind != FaceKind::ground)
      continue;
    phi.reinit(face);
    phi.read_dof_values_plain(src);
    phi.evaluate(EvaluationFlags::values);
    for (unsigned q = 0; q < n_q_face; ++q) {
      const Tensor<1, 3> u = plain(phi.get_value(q));
      if (slot.kind == FaceKind::spring) {
        const Tensor<1, 3> force = spring_force(problem_->springs[slot.item], u);
        energy_ += 0.5 * (force * u) * phi.JxW(q)[0];
        phi.submit_value(wide(force), q);
      } else {
        const GroundFace &ground = problem_->ground[slot.item];
        const Tensor<1, 3> d = tensor(ground.direction);
        const double gap = gap0_[slot.offset + q] + u * d;
        const double plan = plan_area(slot, phi, q);
        const double pressure = ground.stiffness * std::max(-gap, 0.0);
        const Tensor<1, 3> grip = grip_force(slot, q, u);
        energy_ += 0.5 * (pressure * std::max(-gap, 0.0) + grip * u) * plan * phi.JxW(q)[0];
        phi.submit_value(wide(plan * (grip - pressure * d)), q);
      }
    }
    phi.integrate_scatter(EvaluationFlags::values, dst);
  }
}

double SolidOperator::ground_force(const Vector &u) const {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  FaceEval phi(mf, true);
  double sum = 0;
  u.update_ghost_values();
  for (unsigned face = mf.n_inner_face_batches(); face < slots_.size(); ++face)
    if (slots_[face].kind == FaceKind::ground) {
      const FaceSlot &slot = slots_[face];
      const GroundFace &ground = problem_->ground[slot.item];
      phi.reinit(face);
      phi.read_dof_values_plain(u);
      phi.evaluate(EvaluationFlags::values);
      for (unsigned q = 0; q < n_q_face; ++q) {
        const double gap = gap0_[slot.offset + q] + plain(phi.get_value(q)) * tensor(ground.direction);
        sum += ground.stiffness * std::max(-gap, 0.0) * area_[slot.offset + q];
      }
    }
  u.zero_out_ghost_values();
  return Utilities::MPI::sum(sum, level_.comm);
}

// ---- tangent
// -------------------------------------------------------------------------------------------------

void SolidOperator::linearize(const Vector &u, double load, bool on_level) {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  const bool had_ghosts = u.has_ghost_elements();
  u.update_ghost_values();
  CellEval phi(mf);
  for (unsigned c = 0; c < mf.n_cell_batches(); ++c) {
    phi.reinit(c);
    phi.read_dof_values_plain(u);
    phi.evaluate(EvaluationFlags::gradients);
    for (unsigned q = 0; q < n_q; ++q) {
      const std::size_t at = c * n_q + q;
      Linearized &p = linearized_[at];
      p.f = plain(phi.get_gradient(q));
      for (unsigned i = 0; i < 3; ++i)
        p.f[i][i] += 1;
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
  exact_ready_ = !on_level;
  fill_cells(on_level ? level_bound : -1, exact_ready_ ? &exact_ : nullptr, &rough_);
  if (!on_level) {
    FaceEval inner(mf, true), outer(mf, false);
    for (unsigned face = 0; face < slots_.size(); ++face) {
      const FaceSlot &slot = slots_[face];
      if (slot.kind != FaceKind::contact && slot.kind != FaceKind::ground)
        continue;
      const bool contact = slot.kind == FaceKind::contact;
      const Tensor<1, 3> d =
          tensor(contact ? problem_->contact[slot.item].direction : problem_->ground[slot.item].direction);
      inner.reinit(face);
      inner.read_dof_values_plain(u);
      inner.evaluate(EvaluationFlags::values);
      if (contact) {
        outer.reinit(face);
        outer.read_dof_values_plain(u);
        outer.evaluate(EvaluationFlags::values);
      }
      for (unsigned q = 0; q < n_q_face; ++q) {
        Tensor<1, 3> jump = plain(inner.get_value(q));
        if (contact)
          jump -= plain(outer.get_value(q));
        active_[slot.offset + q] = gap0_[slot.offset + q] + slot.sign * (jump * d) < 0 ? 1.0 : 0.0;
      }
    }
    fill_faces();
  }
  if (!had_ghosts)
    u.zero_out_ghost_values();

  const Small small = solve_small(u, load);
  const unsigned modes = small.motion.size();
  coupling_ = spring_carrier_;
  low_rank_.columns.clear();
  std::vector<double> stiffness;
  for (unsigned r = 0; r < small.tension.size(); ++r) {
    if (!small.active[r] || problem_->ties[r].stiffness <= 0)
      continue;
    for (unsigned m = 0; m < modes; ++m)
      coupling_[m].add(problem_->ties[r].stiffness * tie_mode_[r][m], tie_[r]);
    low_rank_.columns.push_back(&tie_[r]);
    stiffness.push_back(problem_->ties[r].stiffness);
  }
  const unsigned n = stiffness.size();
  low_rank_.m.reinit(n + modes, n + modes);
  for (unsigned i = 0; i < n; ++i)
    low_rank_.m(i, i) = stiffness[i];
  if (modes > 0) {
    FullMatrix<double> inverse(small.g);
    inverse.gauss_jordan();
    for (unsigned m = 0; m < modes; ++m) {
      low_rank_.columns.push_back(&coupling_[m]);
      for (unsigned k = 0; k < modes; ++k)
        low_rank_.m(n + m, n + k) = -inverse(m, k);
    }
  }
  low_rank_.finish();
}

template <typename Visit> void SolidOperator::for_contact_points(const Visit &visit) const {
  FaceEval inner(level_.matrix_free, true), outer(level_.matrix_free, false);
  for (unsigned face = 0; face < slots_.size(); ++face) {
    const FaceSlot &slot = slots_[face];
    if (slot.kind != FaceKind::contact && slot.kind != FaceKind::ground)
      continue;
    FaceEval &upper = slot.sign > 0 ? inner : outer;
    upper.reinit(face);
    visit(slot, upper);
  }
}

void SolidOperator::activity(Vector &active, Vector &all) const {
  level_.initialize(active);
  level_.initialize(all);
  for (const bool count : {false, true}) {
    Vector &target = count ? all : active;
    for_contact_points([&](const FaceSlot &slot, FaceEval &upper) {
      for (unsigned q = 0; q < n_q_face; ++q) {
        Tensor<1, 3> v;
        v[2] = count ? 1.0 : active_[slot.offset + q];
        upper.submit_value(wide(v), q);
      }
      upper.integrate(EvaluationFlags::values);
      upper.distribute_local_to_global(target);
    });
    target.compress(VectorOperation::add);
  }
}

void SolidOperator::set_active(const Vector &active, const Vector &all) {
  Vector share;
  level_.initialize(share);
  for (unsigned i = 0; i < share.locally_owned_size(); ++i)
    if (std::abs(all.local_element(i)) > 1e-12)
      share.local_element(i) = active.local_element(i) / all.local_element(i);
  share.update_ghost_values();
  for_contact_points([&](const FaceSlot &slot, FaceEval &upper) {
    upper.read_dof_values_plain(share);
    upper.evaluate(EvaluationFlags::values);
    for (unsigned q = 0; q < n_q_face; ++q)
      active_[slot.offset + q] = std::min(1.0, std::max(0.0, upper.get_value(q)[2][0]));
  });
  fill_faces();
}

// Stiffness of a face's point against the displacement there (contact: against the jump).
void SolidOperator::fill_faces() {
  for (const FaceSlot &slot : slots_) {
    if (slot.kind == FaceKind::none || slot.kind == FaceKind::traction)
      continue;
    Tensor<1, 3> d;
    double along = 0, across = 0; // d, per area
    for (unsigned k = slot.offset; k < slot.offset + n_q_face; ++k) {
      switch (slot.kind) {
      case FaceKind::spring:
        d = tensor(problem_->springs[slot.item].axis);
        along = problem_->springs[slot.item].normal;
        across = problem_->springs[slot.item].tangential;
        break;
      case FaceKind::contact:
        d = tensor(problem_->contact[slot.item].direction);
        along = active_[k] * problem_->contact[slot.item].stiffness;
        break;
      default:
        d = tensor(problem_->ground[slot.item].direction);
        along = active_[k] * problem_->ground[slot.item].stiffness;
        across = grip_[k];
      }
      unsigned at = 0;
      for (unsigned i = 0; i < 3; ++i)
        for (unsigned j = i; j < 3; ++j)
          face_stiffness_[k][at++] = area_[k] * ((i == j ? across : 0.0) + (along - across) * d[i] * d[j]);
    }
  }
  rough_.faces.set_stiffness(face_stiffness_);
  if (exact_ready_)
    exact_.faces.set_stiffness(face_stiffness_);
}

template <typename Number, typename Values>
void SolidOperator::tangent_product(const TangentKernel<Number> &kernel, Values &dst,
                                    const Values &src) const {
  const bool had_ghosts = src.has_ghost_elements();
  src.update_ghost_values();
  dst = 0;
  dst.zero_out_ghost_values();
  kernel.vmult_add(dst, src);
  dst.compress(VectorOperation::add);
  if (!had_ghosts)
    src.zero_out_ghost_values();
  low_rank_.vmult_add(dst, src);
  level_.constraints.set_zero(dst);
}

void SolidOperator::vmult(Vector &dst, const Vector &src) const {
  if (exact_ready_)
    tangent_product(exact_, dst, src);
  else
    tangent_product(rough_, dst, src);
}

void SolidOperator::rough_vmult(Vector &dst, const Vector &src) const {
  tangent_product(rough_, dst, src);
}

void SolidOperator::rough_vmult(RoughVector &dst, const RoughVector &src) const {
  tangent_product(rough_, dst, src);
}

} // namespace raybend
