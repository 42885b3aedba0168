// Faces: contact, ground and springs.
#include "solver/operator/faces.hpp"
#include "solver/kernel/line_shapes.hpp"
#include "solver/operator/evaluators.hpp"
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_q.h>

namespace raybend {

using namespace dealii;

namespace {
constexpr unsigned side_nodes = 9, n_q_face = n_face_points;
} // namespace

bool Faces::update_problem(const Problem &problem) {
  problem_ = &problem;
  const bool same = find_faces();
  make_kernels();
  return same;
}

bool Faces::find_faces() {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  const unsigned inner = mf.n_inner_face_batches(), all = inner + mf.n_boundary_face_batches();
  const std::vector<FaceSlot> before = std::move(slots_);
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
  const bool same = before.size() == all &&
                    std::equal(before.begin(), before.end(), slots_.begin(),
                               [](const FaceSlot &a, const FaceSlot &b) { return a.kind == b.kind; });
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
  return Utilities::MPI::min(same ? 1 : 0, level_.comm) == 1;
}

std::array<types::global_dof_index, 27> Faces::face_unknowns(unsigned face, bool interior) const {
  const auto [cell, number] = level_.matrix_free.get_face_iterator(face, 0, interior);
  std::vector<types::global_dof_index> index(81);
  DoFCellAccessor<3, 3, false>(&level_.triangulation, cell->level(), cell->index(), &level_.dofs)
      .get_dof_indices(index);
  const std::vector<unsigned> lexicographic = FETools::lexicographic_to_hierarchic_numbering<3>(fe_degree);
  const unsigned stride[3] = {1, 3, 9}, normal = number / 2; // points of face 2, 3 run along z first
  const unsigned fast = stride[(normal + 1) % 3], slow = stride[(normal + 2) % 3];
  std::array<types::global_dof_index, 27> unknown;
  for (unsigned i = 0; i < 9; ++i) {
    const unsigned node = (number % 2) * 2 * stride[normal] + i % 3 * fast + i / 3 * slow;
    for (unsigned c = 0; c < 3; ++c)
      unknown[3 * i + c] = index[level_.fe.component_to_system_index(c, lexicographic[node])];
  }
  return unknown;
}

void Faces::make_kernels() {
  const auto &partitioner = *level_.matrix_free.get_vector_partitioner();
  std::vector<FaceNodes> faces;
  for (unsigned face = 0; face < slots_.size(); ++face) {
    const FaceSlot &slot = slots_[face];
    if (slot.kind == FaceKind::none || slot.kind == FaceKind::traction)
      continue;
    faces.emplace_back();
    FaceNodes &nodes = faces.back();
    nodes.pair = slot.kind == FaceKind::contact;
    nodes.offset = slot.offset;
    for (unsigned side = 0; side < (nodes.pair ? 2u : 1u); ++side) {
      const auto unknown = face_unknowns(face, side == 0);
      for (unsigned i = 0; i < 27; ++i)
        nodes.unknown[side][i] = level_.constraints.is_constrained(unknown[i])
                                     ? level_.local_entries()
                                     : partitioner.global_to_local(unknown[i]);
    }
  }
  exact_.reinit(faces, level_.local_entries());
  rough_.reinit(faces, level_.local_entries());
}

double Faces::plan_area(const FaceSlot &slot, unsigned q, double jxw) const {
  return area_[slot.offset + q] / jxw;
}

Tensor<1, 3> Faces::spring_force(const SpringFace &s, const Tensor<1, 3> &u) {
  const Tensor<1, 3> a = tensor(s.axis);
  return s.tangential * u + (s.normal - s.tangential) * (a * u) * a;
}

Tensor<1, 3> Faces::grip_force(const FaceSlot &slot, unsigned q, const Tensor<1, 3> &u) const {
  return grip_[slot.offset + q] * across(u, tensor(problem_->ground[slot.item].direction));
}

void Faces::add_inner_residual(Vector &residual, const Vector &u, const Range &range, double &energy) const {
  FaceEval inner(level_.matrix_free, true), outer(level_.matrix_free, false);
  for (unsigned face = range.first; face < range.second; ++face) {
    const FaceSlot &slot = slots_[face];
    if (slot.kind != FaceKind::contact)
      continue;
    const ContactPair &pair = problem_->contact[slot.item];
    const Tensor<1, 3> d = tensor(pair.direction);
    inner.reinit(face);
    outer.reinit(face);
    inner.read_dof_values_plain(u);
    outer.read_dof_values_plain(u);
    inner.evaluate(EvaluationFlags::values);
    outer.evaluate(EvaluationFlags::values);
    for (unsigned q = 0; q < n_q_face; ++q) {
      const Tensor<1, 3> jump = plain(inner.get_value(q)) - plain(outer.get_value(q));
      const double gap = gap0_[slot.offset + q] + slot.sign * (jump * d);
      const double plan = plan_area(slot, q, inner.JxW(q)[0]);
      const double pressure = pair.stiffness * std::max(-gap, 0.0);
      const Tensor<1, 3> grip = pair.grip * across(jump, d);
      energy += 0.5 * (pressure * std::max(-gap, 0.0) + grip * jump) * plan * inner.JxW(q)[0];
      const Tensor<1, 3> force = plan * (grip - slot.sign * pressure * d);
      inner.submit_value(wide(force), q);
      outer.submit_value(wide(-force), q);
    }
    inner.integrate_scatter(EvaluationFlags::values, residual);
    outer.integrate_scatter(EvaluationFlags::values, residual);
  }
}

void Faces::add_boundary_residual(Vector &residual, const Vector &u, const Range &range,
                                  double &energy) const {
  FaceEval phi(level_.matrix_free, true);
  for (unsigned face = range.first; face < range.second; ++face) {
    const FaceSlot &slot = slots_[face];
    if (slot.kind != FaceKind::spring && slot.kind != FaceKind::ground)
      continue;
    phi.reinit(face);
    phi.read_dof_values_plain(u);
    phi.evaluate(EvaluationFlags::values);
    for (unsigned q = 0; q < n_q_face; ++q) {
      const Tensor<1, 3> here = plain(phi.get_value(q));
      if (slot.kind == FaceKind::spring) {
        const Tensor<1, 3> force = spring_force(problem_->springs[slot.item], here);
        energy += 0.5 * (force * here) * phi.JxW(q)[0];
        phi.submit_value(wide(force), q);
      } else {
        const GroundFace &ground = problem_->ground[slot.item];
        const Tensor<1, 3> d = tensor(ground.direction);
        const double gap = gap0_[slot.offset + q] + here * d;
        const double plan = plan_area(slot, q, phi.JxW(q)[0]);
        const double pressure = ground.stiffness * std::max(-gap, 0.0);
        const Tensor<1, 3> grip = grip_force(slot, q, here);
        energy += 0.5 * (pressure * std::max(-gap, 0.0) + grip * here) * plan * phi.JxW(q)[0];
        phi.submit_value(wide(plan * (grip - pressure * d)), q);
      }
    }
    phi.integrate_scatter(EvaluationFlags::values, residual);
  }
}

// Visits the gap at every point of contact and ground: visit(face, slot, q, gap). u has its ghost values.
template <typename Visit> void Faces::for_gaps(const Vector &u, const Visit &visit) const {
  FaceEval inner(level_.matrix_free, true), outer(level_.matrix_free, false);
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
      visit(face, slot, q, gap0_[slot.offset + q] + slot.sign * (jump * d));
    }
  }
}

double Faces::ground_force(const Vector &u) const {
  double sum = 0;
  u.update_ghost_values();
  for_gaps(u, [&](unsigned, const FaceSlot &slot, unsigned q, double gap) {
    if (slot.kind == FaceKind::ground)
      sum += problem_->ground[slot.item].stiffness * std::max(-gap, 0.0) * area_[slot.offset + q];
  });
  u.zero_out_ghost_values();
  return Utilities::MPI::sum(sum, level_.comm);
}

void Faces::linearize(const Vector &u) {
  for_gaps(u, [&](unsigned, const FaceSlot &slot, unsigned q, double gap) {
    active_[slot.offset + q] = gap < 0 ? 1.0 : 0.0;
  });
  fill();
}

template <typename Visit> void Faces::for_contact_points(const Visit &visit) const {
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

void Faces::activity(Vector &active, Vector &all) const {
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

void Faces::set_active(const Vector &active, const Vector &all) {
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
  fill();
}

// Stiffness of a face's point against the displacement there (contact: against the jump).
void Faces::fill() {
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
        across = problem_->contact[slot.item].grip;
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
  rough_.set_stiffness(face_stiffness_);
  exact_.set_stiffness(face_stiffness_);
}

void Faces::list_blocks(std::vector<unsigned> &nodes) const {
  for (unsigned face = 0; face < slots_.size(); ++face) {
    if (slots_[face].kind == FaceKind::none || slots_[face].kind == FaceKind::traction)
      continue;
    const bool pair = slots_[face].kind == FaceKind::contact;
    nodes.push_back(pair ? 2 * side_nodes : side_nodes);
    for (const bool interior : {true, false})
      if (interior || pair) {
        const auto unknown = face_unknowns(face, interior);
        nodes.insert(nodes.end(), unknown.begin(), unknown.end());
      }
  }
}

// K_(i c)(j d) = sum over points  N_i N_j K_cd,  with -N on the second side.
void Faces::add_blocks(std::vector<double> &values) const {
  const LineShapes &line = line_shapes();
  double shape[n_q_face][2 * side_nodes];
  for (unsigned q = 0; q < n_q_face; ++q)
    for (unsigned i = 0; i < side_nodes; ++i) {
      shape[q][i] = line.value[q % 3][i % 3] * line.value[q / 3][i / 3];
      shape[q][side_nodes + i] = -shape[q][i];
    }
  for (const FaceSlot &slot : slots_) {
    if (slot.kind == FaceKind::none || slot.kind == FaceKind::traction)
      continue;
    const unsigned n = slot.kind == FaceKind::contact ? 2 * side_nodes : side_nodes;
    for (unsigned i = 0; i < n; ++i)
      for (unsigned j = i; j < n; ++j) {
        FaceStiffness sum{};
        for (unsigned q = 0; q < n_q_face; ++q)
          for (unsigned k = 0; k < 6; ++k)
            sum[k] += shape[q][i] * shape[q][j] * face_stiffness_[slot.offset + q][k];
        for (const unsigned k : {0, 1, 2, 1, 3, 4, 2, 4, 5})
          values.push_back(sum[k]);
      }
  }
}

void Faces::add_coupling(std::vector<Vector> &c, FullMatrix<double> &g) const {
  const unsigned carrier = problem_->carrier.modes.size(), modes = c.size();
  const auto mode = [&](unsigned m) -> const Motion & {
    return m < carrier ? problem_->carrier.modes[m] : problem_->slide[m - carrier];
  };
  std::vector<double> sum(modes * modes, 0.0);
  FaceEval phi(level_.matrix_free, true);
  for (unsigned f = level_.matrix_free.n_inner_face_batches(); f < slots_.size(); ++f) {
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
            spring ? spring_force(*spring, v) : plan_area(slot, q, phi.JxW(q)[0]) * grip_force(slot, q, v);
        for (unsigned n = first; n < last; ++n)
          sum[m * modes + n] += kv * tensor(mode(n)(x)) * phi.JxW(q)[0];
        phi.submit_value(wide(kv), q);
      }
      phi.integrate(EvaluationFlags::values);
      add_to_all(phi, level_, level_.matrix_free.get_face_iterator(f, 0, true).first, c[m]);
    }
  }
  for (Vector &v : c)
    v.compress(VectorOperation::add);
  for (unsigned m = 0; m < modes; ++m)
    for (unsigned n = 0; n < modes; ++n)
      g(m, n) = Utilities::MPI::sum(sum[m * modes + n], level_.comm);
}

} // namespace raybend
