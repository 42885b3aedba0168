// Gap and pressure at the points of the contact pair, for output.
#include "solver/operator/solid_operator.hpp"
#include <deal.II/base/quadrature_lib.h>

namespace raybend {

using namespace dealii;

void SolidOperator::visit_contact(const Vector &u,
                                  const std::function<void(const ContactPoint &)> &visit) const {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  const QGauss<2> face_points(n_points_1d);
  FaceEval inner(mf, true), outer(mf, false);
  u.update_ghost_values();
  for (unsigned face = 0; face < slots_.size(); ++face) {
    const FaceSlot &slot = slots_[face];
    if (slot.kind != FaceKind::contact)
      continue;
    const ContactPair &pair = problem_->contact[slot.item];
    inner.reinit(face);
    outer.reinit(face);
    inner.read_dof_values_plain(u);
    outer.read_dof_values_plain(u);
    inner.evaluate(EvaluationFlags::values);
    outer.evaluate(EvaluationFlags::values);
    const auto [cell, number] = mf.get_face_iterator(face, 0, slot.sign > 0);
    for (unsigned q = 0; q < n_q_face; ++q) {
      const Point<2> on_face = face_points.point(q);
      Point<3> unit(on_face[0], on_face[1], number == 4 ? 0.0 : 1.0);
      ContactPoint point;
      point.q = q;
      point.logical = Level::logical_point(cell, unit);
      point.step_s = cell->vertex(1)[0] - cell->vertex(0)[0];
      point.step_b = cell->vertex(2)[1] - cell->vertex(0)[1];
      double jump = 0, plan = 0;
      for (unsigned c = 0; c < 3; ++c) {
        jump += (inner.get_value(q)[c][0] - outer.get_value(q)[c][0]) * pair.direction[c];
        plan += inner.get_normal_vector(q)[c][0] * pair.area_axis[c];
      }
      point.gap = gap0_[slot.offset + q] + slot.sign * jump;
      point.pressure = pair.stiffness * std::max(-point.gap, 0.0);
      point.area = std::abs(plan) * inner.JxW(q)[0];
      visit(point);
    }
  }
  u.zero_out_ghost_values();
}

} // namespace raybend
