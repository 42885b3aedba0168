// What is read at the points of contact.
#include "solver/operator/contact_points.hpp"
#include "solver/operator/evaluators.hpp"
#include "solver/operator/solid_operator.hpp"
#include <deal.II/base/quadrature_lib.h>

namespace raybend {

using namespace dealii;

// How far paired points stand apart along the face: (mm, cells of the mesh in the direction that has more of them).
// `apart`: from the lower to the upper point, normal part taken away; `along`: the face's own two sides, cell by cell.
static std::pair<double, double> slip_of(const Tensor<1, 3> &apart,
                                         const std::array<Tensor<1, 3>, 2> &along) {
  const double aa = along[0] * along[0], ab = along[0] * along[1], bb = along[1] * along[1],
               ta = apart * along[0], tb = apart * along[1], det = aa * bb - ab * ab;
  return {apart.norm(), std::max(std::abs(bb * ta - ab * tb), std::abs(aa * tb - ab * ta)) / det};
}

void visit_contact(const SolidOperator &op, const Vector &u,
                   const std::function<void(const ContactPoint &)> &visit) {
  const Level &level = op.level();
  const MatrixFree<3, double> &mf = level.matrix_free;
  const QGauss<2> face_points(n_points_1d);
  const double span = face_points.point(2)[0] - face_points.point(0)[0]; // of three points, in cells
  Vector place(u);
  place += level.position;
  place.update_ghost_values();
  const bool had_ghosts = u.has_ghost_elements();
  u.update_ghost_values();
  FaceEval inner(mf, true), outer(mf, false), inner_u(mf, true), outer_u(mf, false);
  for (unsigned face = 0; face < mf.n_inner_face_batches(); ++face) {
    const auto [inner_cell, inner_number] = mf.get_face_iterator(face, 0, true);
    const unsigned id = inner_cell->face(inner_number)->boundary_id();
    for (const ContactPair &pair : op.problem().contact) {
      if (id != pair.upper_id && id != pair.lower_id)
        continue;
      const double sign = id == pair.upper_id ? 1 : -1;
      const auto read = [face](FaceEval &side, const Vector &values) {
        side.reinit(face);
        side.read_dof_values_plain(values);
        side.evaluate(EvaluationFlags::values);
      };
      read(inner, place);
      read(outer, place);
      read(inner_u, u);
      read(outer_u, u);
      const Tensor<1, 3> d = tensor(pair.direction);
      const auto [cell, number] = mf.get_face_iterator(face, 0, sign > 0);
      const auto at = [&](unsigned i, unsigned j) { return plain(inner.get_value(i + n_points_1d * j)); };
      for (unsigned q = 0; q < face_points.size(); ++q) {
        const Point<2> on_face = face_points.point(q);
        const unsigned i = q % n_points_1d, j = q / n_points_1d;
        const Tensor<1, 3> apart = sign * (at(i, j) - plain(outer.get_value(q)));
        ContactPoint point;
        point.q = q;
        point.logical = Level::logical_point(cell, Point<3>(on_face[0], on_face[1], number == 4 ? 0.0 : 1.0));
        point.step_s = cell->vertex(1)[0] - cell->vertex(0)[0];
        point.step_b = cell->vertex(2)[1] - cell->vertex(0)[1];
        point.pressure = pair.stiffness * std::max(-(apart * d), 0.0);
        const Tensor<1, 3> jump = plain(inner_u.get_value(q)) - plain(outer_u.get_value(q));
        point.shear = pair.grip * across(jump, d).norm();
        point.area = std::abs(plain(inner.get_normal_vector(q)) * tensor(pair.area_axis)) * inner.JxW(q)[0];
        std::tie(point.slip, point.slip_cells) =
            slip_of(across(apart, d), {(at(2, j) - at(0, j)) / span, (at(i, 2) - at(i, 0)) / span});
        visit(point);
      }
    }
  }
  if (!had_ghosts)
    u.zero_out_ghost_values();
}

} // namespace raybend
