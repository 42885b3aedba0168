// Faces: contact, ground and springs.
#include "solver/operator/evaluators.hpp"
#include "solver/operator/plain_tensors.hpp"
#include "solver/operator/solid_operator.hpp"
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_q.h>

namespace raybend {

using namespace dealii;

void SolidOperator::make_faces() {
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
  // The matrix's pattern goes by the list of faces.
  const bool same = before.size() == all &&
                    std::equal(before.begin(), before.end(), slots_.begin(),
                               [](const FaceSlot &a, const FaceSlot &b) { return a.kind == b.kind; });
  if (Utilities::MPI::min(same ? 1 : 0, level_.comm) == 0)
    entry_of_.clear();
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

std::array<types::global_dof_index, 27> SolidOperator::face_unknowns(unsigned face, bool interior) const {
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

double SolidOperator::plan_area(const FaceSlot &slot, unsigned q, double jxw) const {
  return area_[slot.offset + q] / jxw;
}

Tensor<1, 3> SolidOperator::spring_force(const SpringFace &s, const Tensor<1, 3> &u) {
  const Tensor<1, 3> a = tensor(s.axis);
  return s.tangential * u + (s.normal - s.tangential) * (a * u) * a;
}

Tensor<1, 3> SolidOperator::grip_force(const FaceSlot &slot, unsigned q, const Tensor<1, 3> &u) const {
  const Tensor<1, 3> d = tensor(problem_->ground[slot.item].direction);
  return grip_[slot.offset + q] * (u - (u * d) * d);
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
      const double plan = plan_area(slot, q, inner.JxW(q)[0]);
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
        const double plan = plan_area(slot, q, phi.JxW(q)[0]);
        const double pressure = ground.stiffness * std::max(-gap, 0.0);
        const Tensor<1, 3> grip = grip_force(slot, q, u);
        energy_ += 0.5 * (pressure * std::max(-gap, 0.0) + grip * u) * plan * phi.JxW(q)[0];
        phi.submit_value(wide(plan * (grip - pressure * d)), q);
      }
    }
    phi.integrate_scatter(EvaluationFlags::values, dst);
  }
}

// Visits the gap at every point of contact and ground: visit(face, slot, q, gap). u has its ghost values.
template <typename Visit> void SolidOperator::for_gaps(const Vector &u, const Visit &visit) const {
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

double SolidOperator::ground_force(const Vector &u) const {
  double sum = 0;
  u.update_ghost_values();
  for_gaps(u, [&](unsigned, const FaceSlot &slot, unsigned q, double gap) {
    if (slot.kind == FaceKind::ground)
      sum += problem_->ground[slot.item].stiffness * std::max(-gap, 0.0) * area_[slot.offset + q];
  });
  u.zero_out_ghost_values();
  return Utilities::MPI::sum(sum, level_.comm);
}

// Which points touch at u.
void SolidOperator::find_contact(const Vector &u) {
  for_gaps(u, [&](unsigned, const FaceSlot &slot, unsigned q, double gap) {
    active_[slot.offset + q] = gap < 0 ? 1.0 : 0.0;
  });
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

// How far paired points stand apart along the face: (mm, cells of the mesh in the direction that has more of them).
// `apart`: from the lower to the upper point, normal part taken away; `along`: the face's own two sides, cell by cell.
static std::pair<double, double> slip_of(const Tensor<1, 3> &apart,
                                         const std::array<Tensor<1, 3>, 2> &along) {
  const double aa = along[0] * along[0], ab = along[0] * along[1], bb = along[1] * along[1],
               ta = apart * along[0], tb = apart * along[1], det = aa * bb - ab * ab;
  return {apart.norm(), std::max(std::abs(bb * ta - ab * tb), std::abs(aa * tb - ab * ta)) / det};
}

void SolidOperator::visit_contact(const Vector &u,
                                  const std::function<void(const ContactPoint &)> &visit) const {
  const QGauss<2> face_points(n_points_1d);
  const double span = face_points.point(2)[0] - face_points.point(0)[0]; // of three points, in cells
  Vector place(u);
  place += level_.position;
  place.update_ghost_values();
  FaceEval inner(level_.matrix_free, true), outer(level_.matrix_free, false);
  for (unsigned face = 0; face < level_.matrix_free.n_inner_face_batches(); ++face) {
    const FaceSlot &slot = slots_[face];
    if (slot.kind != FaceKind::contact)
      continue;
    for (FaceEval *side : {&inner, &outer}) {
      side->reinit(face);
      side->read_dof_values_plain(place);
      side->evaluate(EvaluationFlags::values);
    }
    const Tensor<1, 3> d = tensor(problem_->contact[slot.item].direction);
    const auto [cell, number] = level_.matrix_free.get_face_iterator(face, 0, slot.sign > 0);
    const auto at = [&](unsigned i, unsigned j) { return plain(inner.get_value(i + n_points_1d * j)); };
    for (unsigned q = 0; q < n_q_face; ++q) {
      const Point<2> on_face = face_points.point(q);
      const unsigned i = q % n_points_1d, j = q / n_points_1d;
      const Tensor<1, 3> apart = slot.sign * (at(i, j) - plain(outer.get_value(q)));
      ContactPoint point;
      point.q = q;
      point.logical = Level::logical_point(cell, Point<3>(on_face[0], on_face[1], number == 4 ? 0.0 : 1.0));
      point.step_s = cell->vertex(1)[0] - cell->vertex(0)[0];
      point.step_b = cell->vertex(2)[1] - cell->vertex(0)[1];
      point.pressure = problem_->contact[slot.item].stiffness * std::max(-(apart * d), 0.0);
      point.area = area_[slot.offset + q];
      std::tie(point.slip, point.slip_cells) =
          slip_of(apart - (apart * d) * d, {(at(2, j) - at(0, j)) / span, (at(i, 2) - at(i, 0)) / span});
      visit(point);
    }
  }
}

} // namespace raybend
