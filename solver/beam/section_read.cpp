// Sums over the cells and planes of a solved beam: section forces, means, statics.
#include "solver/beam/section_read.hpp"
#include "geometry/beam_section.hpp"
#include "meshing/beam_mesh.hpp"
#include "solver/body/rotation.hpp"
#include "solver/operator/small_tensors.hpp"
#include <algorithm>
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_values.h>
#include <optional>

namespace raybend {

using namespace dealii;

namespace {

using Cell = DoFHandler<3>::active_cell_iterator;

/// A part of the body on which a force acts, spread by a weight.
struct Spread {
  const Region *region;
  Vec3 force{};
  double total = 0;           ///< integral of the weight
  std::vector<double> weight; ///< of each layer
  std::vector<Vec3> first;    ///< integral of weight times place, each layer
  std::optional<double> held; ///< of a tie: where its support stands on the axis
  Vec3 mean_u{};
};

class Reader {
public:
  Reader(const Beam &beam, const BeamProblem &from, Body &body, const bool finite, const double load)
      : beam_(beam), from_(from), body_(body), finite_(finite), load_(load), layers_(from.planes.size() - 1),
        cell_values_(*body.level().mapping, body.level().fe, QGauss<3>(n_points_1d),
                     update_values | update_gradients | update_JxW_values | update_quadrature_points),
        face_values_(*body.level().mapping, body.level().fe, QGauss<2>(n_points_1d),
                     update_values | update_JxW_values | update_quadrature_points),
        layer_force_(layers_), layer_moment_(layers_), fits_(layers_ + 1) {
    out_.planes.resize(layers_ + 1);
    for (unsigned k = 0; k <= layers_; ++k)
      out_.planes[k].s = from.planes[k];
    body.u.update_ghost_values();
    motion_ = body.op().ties().motion(body.u, load);
    out_.tension = body.op().ties().tensions(body.u, load);
  }

  BeamReading read() {
    list_spreads();
    for (const auto &cell : body_.level().dofs.active_cell_iterators())
      weigh(cell);
    tie_results();
    for (const auto &cell : body_.level().dofs.active_cell_iterators())
      add_cell(cell);
    finish();
    return std::move(out_);
  }

private:
  unsigned layer_of(const Cell &cell) const {
    const double x = Level::logical_point(cell, Point<3>(0.5, 0.5, 0.5))[0];
    const auto it = std::upper_bound(from_.planes.begin(), from_.planes.end(), x);
    return std::clamp<long>(it - from_.planes.begin() - 1, 0, layers_ - 1);
  }
  Vec3 axis_place(const unsigned plane) const {
    const Vec3 place = axis_frame(beam_, from_.planes[plane]).place;
    return finite_ ? place + out_.planes[plane].u : place;
  }

  void list_spreads() {
    const Problem &p = from_.problem;
    for (unsigned r = 0; r < p.ties.size(); ++r) {
      const Vec3 f = -out_.tension[r] * p.ties[r].direction;
      add_spread(p.ties[r].region, f, from_.ties[r].hold.at);
      if (p.ties[r].other)
        add_spread(p.ties[r].other, -1.0 * f, from_.ties[r].hold.at);
    }
    for (const RegionForce &f : p.region_forces)
      add_spread(f.region, load_ * f.force, {});
  }
  void add_spread(const Region &region, const Vec3 &force, const std::optional<double> held) {
    Spread s;
    s.region = &region;
    s.force = force;
    s.held = held;
    s.weight.assign(layers_, 0.0);
    s.first.assign(layers_, Vec3{});
    spreads_.push_back(s);
  }

  void cell_displacement(const Cell &cell) {
    cell_values_.reinit(cell);
    cell->get_dof_indices(index_);
    const unsigned n = cell_values_.n_quadrature_points;
    u_.assign(n, Vec3{});
    gradient_.assign(n, Tensor2());
    const auto &fe = body_.level().fe;
    for (unsigned i = 0; i < index_.size(); ++i) {
      const unsigned c = fe.system_to_component_index(i).first;
      for (unsigned q = 0; q < n; ++q) {
        u_[q][c] += body_.u[index_[i]] * cell_values_.shape_value(i, q);
        gradient_[q][c] += body_.u[index_[i]] * cell_values_.shape_grad(i, q);
      }
    }
  }

  void weigh(const Cell &cell) {
    cell_displacement(cell);
    const unsigned layer = layer_of(cell);
    const QGauss<3> quadrature(n_points_1d);
    for (Spread &s : spreads_)
      for (unsigned q = 0; q < quadrature.size(); ++q) {
        const double w = (*s.region)(Level::logical_point(cell, quadrature.point(q)), cell->material_id()) *
                         cell_values_.JxW(q);
        if (w == 0)
          continue;
        const Vec3 x = vec(cell_values_.quadrature_point(q)) + (finite_ ? u_[q] : Vec3{});
        s.total += w;
        s.weight[layer] += w;
        s.first[layer] = s.first[layer] + w * x;
        s.mean_u = s.mean_u + w * u_[q];
      }
  }

  void tie_results() {
    for (Spread &s : spreads_)
      s.mean_u = (1 / s.total) * s.mean_u;
    unsigned at = 0;
    for (unsigned r = 0; r < from_.problem.ties.size(); ++r) {
      const Tie &tie = from_.problem.ties[r];
      const Hold &hold = from_.ties[r].hold;
      const Vec3 about = axis_frame(beam_, hold.at).place;
      double motion = dot(tie.direction, spreads_[at].mean_u);
      Vec3 force{}, moment{};
      const unsigned parts = tie.other ? 2 : 1;
      for (unsigned k = 0; k < parts; ++k) {
        const Spread &s = spreads_[at + k];
        if (k == 1)
          motion -= dot(tie.direction, s.mean_u);
        force = force + s.force;
        for (unsigned j = 0; j < layers_; ++j)
          moment = moment + (1 / s.total) * cross(s.first[j] - s.weight[j] * about, s.force);
      }
      at += parts;
      out_.tie_force.push_back(force);
      out_.tie_moment.push_back(moment);
      out_.tie_motion.push_back(motion);
    }
    for (const Spread &s : spreads_)
      for (unsigned j = 0; j < layers_; ++j) {
        const NodalSum part = on_layer(s, j);
        layer_force_[j] = layer_force_[j] + part.force;
        layer_moment_[j] = layer_moment_[j] + part.moment;
      }
  }

  /// What a spread force exerts on one layer, about the origin.
  static NodalSum on_layer(const Spread &s, const unsigned layer) {
    return {(s.weight[layer] / s.total) * s.force, (1 / s.total) * cross(s.first[layer], s.force)};
  }

  void add_cell(const Cell &cell) {
    cell_displacement(cell);
    const unsigned layer = layer_of(cell);
    const auto &fe = body_.level().fe;
    const QGauss<3> quadrature(n_points_1d);
    std::vector<double> nodal(index_.size(), 0.0); // internal less external
    for (unsigned q = 0; q < quadrature.size(); ++q) {
      const Vec3 l = Level::logical_point(cell, quadrature.point(q));
      Vec3 force{};
      for (const Spread &s : spreads_)
        if (const double w = (*s.region)(l, cell->material_id()); w != 0)
          force = force + (w / s.total) * s.force;
      Sample sample;
      sample.gradient = gradient_[q];
      sample.material = body_.problem().material_at(l, cell->material_id());
      sample.x = vec(cell_values_.quadrature_point(q));
      const Tensor2 f = gradient_[q] + Tensor2(unit_symmetric_tensor<3>());
      const Tensor2 stress = finite_ ? f * Tensor2(body_.problem().materials[sample.material]->stress(f))
                                     : Tensor2(body_.small_stress(sample));
      for (unsigned i = 0; i < index_.size(); ++i) {
        const unsigned c = fe.system_to_component_index(i).first;
        nodal[i] += cell_values_.JxW(q) *
                    (stress[c] * cell_values_.shape_grad(i, q) - force[c] * cell_values_.shape_value(i, q));
      }
    }
    for (const unsigned f : cell->face_indices())
      if (cell->face(f)->at_boundary())
        add_boundary(cell, f, layer, nodal);
    add_plane(cell, layer, nodal);
  }

  void add_boundary(const Cell &cell, const unsigned f, const unsigned layer, std::vector<double> &nodal) {
    const unsigned id = cell->face(f)->boundary_id();
    const auto &fe = body_.level().fe;
    for (const SpringFace &spring : body_.problem().springs) {
      if (spring.id != id)
        continue;
      face_displacement(cell, f);
      for (unsigned q = 0; q < face_u_.size(); ++q) {
        const Vec3 x = vec(face_values_.quadrature_point(q));
        Vec3 u = face_u_[q];
        if (spring.on_carrier)
          for (unsigned m = 0; m < motion_.size(); ++m)
            u = u - motion_[m] * body_.problem().carrier.modes[m](x);
        const Vec3 along = dot(spring.axis, u) * spring.axis;
        const Vec3 force = -spring.normal * along - spring.tangential * (u - along);
        for (unsigned i = 0; i < index_.size(); ++i)
          nodal[i] -= force[fe.system_to_component_index(i).first] * face_values_.shape_value(i, q) *
                      face_values_.JxW(q);
        const Vec3 part = face_values_.JxW(q) * force;
        layer_force_[layer] = layer_force_[layer] + part;
        layer_moment_[layer] = layer_moment_[layer] + cross(x + (finite_ ? face_u_[q] : Vec3{}), part);
      }
    }
    for (const TractionFace &traction : body_.problem().tractions) {
      if (traction.id != id)
        continue;
      face_displacement(cell, f);
      const int end = id == beam_end_id ? 1 : 0;
      for (unsigned q = 0; q < face_u_.size(); ++q) {
        const Vec3 x = vec(face_values_.quadrature_point(q));
        const Vec3 part = (load_ * face_values_.JxW(q)) * traction.traction(x);
        face_force_[end] = face_force_[end] + part;
        face_moment_[end] = face_moment_[end] + cross(x + (finite_ ? face_u_[q] : Vec3{}), part);
      }
    }
  }

  void face_displacement(const Cell &cell, const unsigned f) {
    face_values_.reinit(cell, f);
    face_u_.assign(face_values_.n_quadrature_points, Vec3{});
    for (unsigned i = 0; i < index_.size(); ++i) {
      const unsigned c = body_.level().fe.system_to_component_index(i).first;
      for (unsigned q = 0; q < face_u_.size(); ++q)
        face_u_[q][c] += body_.u[index_[i]] * face_values_.shape_value(i, q);
    }
  }

  bool face_at(const Cell &cell, const unsigned f, const double s) const {
    return std::abs(cell->face(f)->center(true)[0] - s) < 1e-8 * beam_.length &&
           std::abs(cell->face(f)->vertex(0)[0] - s) < 1e-8 * beam_.length;
  }

  void add_plane(const Cell &cell, const unsigned layer, const std::vector<double> &nodal) {
    const double high = from_.planes[layer + 1];
    for (const unsigned f : cell->face_indices()) {
      // Nothing lies before the start: there the cells beyond push back on the plane.
      const bool start = layer == 0 && face_at(cell, f, from_.planes[0]);
      if (!start && !face_at(cell, f, high))
        continue;
      const unsigned k = start ? 0 : layer + 1;
      add_means(cell, f, k);
      const NodalSum sum =
          sum_on_nodes(body_.level(), index_, f, nodal, finite_ ? &body_.u : nullptr, Vec3{});
      PlaneReading &plane = out_.planes[k];
      plane.force = plane.force + (start ? -1.0 : 1.0) * sum.force;
      plane.moment = plane.moment + (start ? -1.0 : 1.0) * sum.moment;
    }
  }

  void add_means(const Cell &cell, const unsigned f, const unsigned plane) {
    face_displacement(cell, f);
    PlaneReading &p = out_.planes[plane];
    const AxisFrame a = axis_frame(beam_, p.s);
    auto &fit = fits_[plane];
    for (unsigned q = 0; q < face_u_.size(); ++q) {
      const Vec3 arm = vec(face_values_.quadrature_point(q)) - a.place;
      const double y = dot(arm, a.across), z = dot(arm, a.up);
      const double dA = face_values_.JxW(q), w = modulus_at(beam_, p.s, z) * dA;
      const double ux = dot(face_u_[q], a.along), uy = dot(face_u_[q], a.across), uz = dot(face_u_[q], a.up);
      p.area += dA;
      p.u = p.u + w * face_u_[q];
      const double terms[] = {w,          w * y * y,  w * z * z,  w * y * z,  w * y * ux,
                              w * z * ux, w * y * uy, w * z * uy, w * y * uz, w * z * uz};
      for (int i = 0; i < 10; ++i)
        fit[i] += terms[i];
    }
  }

  /// Rotation about tangent, y and z. `f`: sums of 1, yy, zz, yz, y ux, z ux, y uy, z uy, y uz, z uz.
  Vec3 section_rotation(const std::array<double, 10> &f) const {
    const double det = f[1] * f[2] - f[3] * f[3];
    // Best fit of a gradient to the displacements: of u along y and along z.
    Vec3 along_y, along_z;
    for (int c = 0; c < 3; ++c) {
      const double y = f[4 + 2 * c], z = f[5 + 2 * c];
      along_y[c] = (f[2] * y - f[3] * z) / det;
      along_z[c] = (f[1] * z - f[3] * y) / det;
    }
    if (!finite_)
      return {(f[8] - f[7]) / (f[1] + f[2]), along_z[0], -along_y[0]};
    along_y[1] += 1;
    along_z[2] += 1;
    const Vec3 normal = unit(cross(along_y, along_z));
    Tensor2 gradient;
    for (int c = 0; c < 3; ++c) {
      gradient[c][0] = normal[c];
      gradient[c][1] = along_y[c];
      gradient[c][2] = along_z[c];
    }
    return rotation_vector(rotation_of(gradient));
  }

  void finish() {
    Vec3 force{}, moment{}; // of what acts beyond, about the origin
    for (unsigned k = 0; k <= layers_; ++k) {
      PlaneReading &p = out_.planes[k];
      const auto &fit = fits_[k];
      p.u = (1 / fit[0]) * p.u;
      p.rotation = section_rotation(fit);
    }
    const PlaneReading &last = out_.planes[layers_];
    if (from_.end_fixed) { // the face's reaction is what its internal forces ask for beyond the traction
      out_.end_force = last.force - face_force_[1];
      const Vec3 about_origin = last.moment - face_moment_[1];
      out_.end_moment = about_origin - cross(axis_place(layers_), out_.end_force);
      force = out_.end_force;
      moment = about_origin;
    }
    force = force + face_force_[1];
    moment = moment + face_moment_[1];
    for (unsigned k = layers_ + 1; k-- > 0;) {
      PlaneReading &p = out_.planes[k];
      if (k < layers_) {
        force = force + layer_force_[k];
        moment = moment + layer_moment_[k];
      }
      const Vec3 about = axis_place(k);
      const NodalSum shift = supports_at_their_places(k);
      p.statics_force = force + shift.force;
      p.statics_moment = moment + shift.moment - cross(about, p.statics_force);
      p.force = p.force + shift.force;
      p.moment = p.moment + shift.moment - cross(about, p.force);
    }
    if (from_.start_fixed) {
      out_.start_force = -1.0 * force - face_force_[0];
      out_.start_moment = -1.0 * (moment + face_moment_[0]) - cross(axis_place(0), out_.start_force);
    }
  }

  /// What changes beyond a plane when every support acts at its own place in place of a slice.
  NodalSum supports_at_their_places(const unsigned plane) const {
    const double s = from_.planes[plane], same = 1e-9 * beam_.length;
    NodalSum shift;
    for (const Spread &spread : spreads_) {
      if (!spread.held)
        continue;
      const bool passed = s > *spread.held + same || (*spread.held < same && s > -same);
      for (unsigned j = 0; j < layers_; ++j)
        if (passed == (j >= plane)) {
          const NodalSum part = on_layer(spread, j);
          shift.force = shift.force + (passed ? -1.0 : 1.0) * part.force;
          shift.moment = shift.moment + (passed ? -1.0 : 1.0) * part.moment;
        }
    }
    return shift;
  }

  const Beam &beam_;
  const BeamProblem &from_;
  Body &body_;
  bool finite_;
  double load_;
  unsigned layers_;
  FEValues<3> cell_values_;
  FEFaceValues<3> face_values_;
  std::vector<Vec3> layer_force_,
      layer_moment_; ///< on each layer from springs, ties and body forces, about the origin
  Vec3 face_force_[2] = {}, face_moment_[2] = {};
  std::vector<Spread> spreads_;
  std::vector<double> motion_;
  std::vector<std::array<double, 10>> fits_; ///< sums over each plane, for its mean displacement and rotation
  std::vector<types::global_dof_index> index_ = std::vector<types::global_dof_index>(81);
  std::vector<Vec3> u_, face_u_;
  std::vector<Tensor2> gradient_;
  BeamReading out_;
};

} // namespace

BeamReading read_sections(const Beam &beam, const BeamProblem &from, Body &body, const bool finite,
                          const double load) {
  return Reader(beam, from, body, finite, load).read();
}

} // namespace raybend
