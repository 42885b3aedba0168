// The tangent written as the weak form reads: what the fast one is tested against.
#include "tests/solver/reference_tangent.hpp"
#include "solver/materials/material.hpp"
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_values.h>

namespace raybend {

using namespace dealii;

namespace {

using Vector3 = Tensor<1, 3>;
const FEValuesExtractors::Vector displacement(0);

Vector3 tensor(const Vec3 &v) {
  return Vector3({v[0], v[1], v[2]});
}
Vec3 vec(const Vector3 &v) {
  return {v[0], v[1], v[2]};
}
Tensor2 identity() {
  return Tensor2(unit_symmetric_tensor<3>());
}
Tensor2 dyad(const Vector3 &a) {
  return outer_product(a, a);
}

/// A vector that is linear in the unknowns x = (u, w): sum_k part_k x_k.
using Linear = std::vector<std::pair<unsigned, Vector3>>;

class Reference {
public:
  Reference(const Problem &problem, const Level &level, const Vector &u, const std::vector<double> &w,
            double load, double bound)
      : problem(problem), level(level), load(load), bound(bound), n(level.dofs.n_dofs()), x(n + w.size()),
        h(n + w.size(), n + w.size()), slope(w.size(), 0.0) {
    for (unsigned i = 0; i < n; ++i)
      x[i] = u[i];
    for (unsigned m = 0; m < w.size(); ++m)
      x[n + m] = w[m];
  }

  ReferenceTangent result() {
    ReferenceTangent r;
    add_cells();
    add_faces();
    r.sparse.reinit(n, n);
    r.sparse.fill(h, 0, 0, 0, 0);
    add_ties();
    add_holding();
    eliminate();
    r.whole.reinit(n, n);
    r.whole.fill(h, 0, 0, 0, 0);
    r.slope = slope;
    return r;
  }

private:
  // weight * s . K s / 2 with s linear in x: its second derivative. `force`: its derivative with respect to s.
  void add_quadratic(const Linear &s, const Tensor2 &k, const Vector3 &force, double weight) {
    for (const auto &[row, a] : s) {
      for (const auto &[column, b] : s)
        h(row, column) += weight * (a * (k * b));
      if (row >= n)
        slope[row - n] += weight * (a * force);
    }
  }

  Vector3 value(const Linear &s) const {
    Vector3 sum;
    for (const auto &[i, part] : s)
      sum += x[i] * part;
    return sum;
  }

  void add_cells() {
    const QGauss<3> quadrature(n_points_1d);
    FEValues<3> values(*level.mapping, level.fe, quadrature,
                       update_gradients | update_quadrature_points | update_JxW_values);
    const unsigned points = quadrature.size(), dofs = level.fe.n_dofs_per_cell();
    std::vector<types::global_dof_index> index(dofs);
    for (const auto &cell : level.dofs.active_cell_iterators()) {
      values.reinit(cell);
      cell->get_dof_indices(index);
      std::vector<Tensor2> f(points, identity());
      std::vector<unsigned> material;
      std::vector<double> j;
      for (unsigned q = 0; q < points; ++q) {
        for (unsigned i = 0; i < dofs; ++i)
          f[q] += x[index[i]] * values[displacement].gradient(i, q);
        j.push_back(determinant(f[q]));
        material.push_back(
            problem.material_at(Level::logical_point(cell, quadrature.point(q)), cell->material_id()));
      }
      const Material &first = *problem.materials[material[0]];
      const bool mixed = first.mixed() && std::count(material.begin(), material.end(), material[0]) == points;

      // theta = P J,  p = P U'(theta), and P (J F^-T : grad N_i e_c) of every unknown.
      std::vector<double> theta, p(points);
      std::vector<std::vector<double>> change(dofs, std::vector<double>(points)), projected;
      for (unsigned i = 0; i < dofs; ++i)
        for (unsigned q = 0; q < points; ++q)
          change[i][q] = j[q] * scalar_product(transpose(invert(f[q])), values[displacement].gradient(i, q));
      if (mixed) {
        theta = project(values, j);
        for (unsigned q = 0; q < points; ++q)
          p[q] = first.volume_energy(theta[q]).slope;
        p = project(values, p);
        for (unsigned i = 0; i < dofs; ++i)
          projected.push_back(project(values, change[i]));
      }

      for (unsigned q = 0; q < points; ++q) {
        const Material &law = *problem.materials[material[q]];
        const Tensor2 v = transpose(invert(f[q]));
        Sym2 s;
        Sym4 cc;
        law.tangent(f[q], s, cc);
        Material::VolumeEnergy local, seen;
        Sym2 all = s;
        if (mixed) {
          local = law.volume_energy(j[q]);
          seen = law.volume_energy(theta[q]);
          all += (p[q] - local.slope) * j[q] * symmetrize(transpose(v) * v);
        }
        const Tensor2 bounding = Tensor2(bounded(all, law.initial_shear()) - all);
        for (unsigned b = 0; b < dofs; ++b) {
          const Tensor2 du = values[displacement].gradient(b, q);
          Tensor2 dp = f[q] * Tensor2(cc * symmetrize(transpose(f[q]) * du)) + du * (Tensor2(s) + bounding);
          if (mixed) // (p - U'(J)) d(J F^-T)[du] - U''(J) (J F^-T) (J F^-T : du)
            dp += (p[q] - local.slope) * (change[b][q] * v - j[q] * v * transpose(du) * v) -
                  local.curvature * change[b][q] * j[q] * v;
          for (unsigned a = 0; a < dofs; ++a) {
            double entry = scalar_product(values[displacement].gradient(a, q), dp);
            if (mixed)
              entry += seen.curvature * projected[a][q] * projected[b][q];
            h(index[a], index[b]) += entry * values.JxW(q);
          }
        }
      }
    }
  }

  // On 1, x, y, z of a cell, in the mean over its volume: sum_ab N_a M^-1_ab int N_b value dV.
  static std::vector<double> project(const FEValues<3> &cell, const std::vector<double> &value) {
    FullMatrix<double> mass(4, 4);
    dealii::Vector<double> moment(4), coefficient(4);
    const auto function = [&](unsigned a, unsigned q) {
      return a == 0 ? 1.0 : (cell.quadrature_point(q) - cell.quadrature_point(0))[a - 1];
    };
    for (unsigned q = 0; q < value.size(); ++q)
      for (unsigned a = 0; a < 4; ++a) {
        moment[a] += function(a, q) * value[q] * cell.JxW(q);
        for (unsigned b = 0; b < 4; ++b)
          mass(a, b) += function(a, q) * function(b, q) * cell.JxW(q);
      }
    mass.gauss_jordan();
    mass.vmult(coefficient, moment);
    std::vector<double> result(value.size(), 0.0);
    for (unsigned q = 0; q < value.size(); ++q)
      for (unsigned a = 0; a < 4; ++a)
        result[q] += coefficient[a] * function(a, q);
    return result;
  }

  Sym2 bounded(const Sym2 &s, double shear) const {
    if (bound < 0)
      return s;
    Sym2 sum;
    for (const auto &[value, direction] : eigenvectors(s, SymmetricTensorEigenvectorMethod::jacobi))
      sum += std::max(value, -bound * shear) * symmetrize(dyad(direction));
    return sum;
  }

  void add_faces() {
    FEFaceValues<3> face(*level.mapping, level.fe, QGauss<2>(n_points_1d),
                         update_values | update_quadrature_points | update_JxW_values |
                             update_normal_vectors);
    FEFaceValues<3> other(*level.mapping, level.fe, QGauss<2>(n_points_1d),
                          update_values | update_quadrature_points);
    for (const auto &cell : level.dofs.active_cell_iterators())
      for (const unsigned number : cell->face_indices()) {
        if (!cell->face(number)->at_boundary())
          continue;
        const unsigned id = cell->face(number)->boundary_id();
        face.reinit(cell, number);
        for (unsigned q = 0; q < face.n_quadrature_points; ++q) {
          const Vector3 place = face.quadrature_point(q);
          const auto plan = [&](const Vec3 &axis) {
            return std::abs(face.normal_vector(q) * tensor(axis)) * face.JxW(q);
          };
          for (const SpringFace &spring : problem.springs)
            if (spring.id == id) {
              Linear s = on_face(cell, face, q, 1);
              if (spring.on_carrier)
                add_modes(s, problem.carrier.modes, 0, vec(place), -1);
              if (spring.on_slide)
                add_modes(s, problem.slide, problem.carrier.modes.size(), vec(place), -1);
              const Tensor2 along = dyad(tensor(spring.axis)),
                            k = spring.normal * along + spring.tangential * (identity() - along);
              add_quadratic(s, k, k * value(s), face.JxW(q));
            }
          for (const GroundFace &ground : problem.ground)
            if (ground.id == id) {
              const Vector3 d = tensor(ground.direction);
              Linear s = on_face(cell, face, q, 1);
              if (ground.gap(vec(place)) + value(s) * d < 0)
                add_quadratic(s, ground.stiffness * dyad(d), {}, plan(ground.area_axis));
              if (ground.grip) {
                add_modes(s, problem.slide, problem.carrier.modes.size(), vec(place), -1);
                const Tensor2 k = ground.grip(vec(place)) * (identity() - dyad(d));
                add_quadratic(s, k, k * value(s), plan(ground.area_axis));
              }
            }
          for (const ContactPair &pair : problem.contact)
            if (pair.upper_id == id) {
              const Vector3 d = tensor(pair.direction);
              const auto [below, below_number] = partner(cell->face(number)->center(), pair);
              other.reinit(below, below_number);
              Linear s = on_face(cell, face, q, 1);
              for (const auto &part : on_face(below, other, q, -1))
                s.push_back(part);
              const bool pressed = (place - other.quadrature_point(q) + value(s)) * d < 0;
              const Tensor2 along = dyad(d);
              add_quadratic(s, (pressed ? pair.stiffness : 0.0) * along + pair.grip * (identity() - along),
                            {}, plan(pair.area_axis));
            }
        }
      }
  }

  // The displacement at a face's point.
  Linear on_face(const DoFHandler<3>::active_cell_iterator &cell, const FEFaceValues<3> &face, unsigned q,
                 double sign) const {
    std::vector<types::global_dof_index> index(level.fe.n_dofs_per_cell());
    cell->get_dof_indices(index);
    Linear s;
    for (unsigned i = 0; i < index.size(); ++i)
      if (const Vector3 shape = face[displacement].value(i, q); shape.norm() > 0)
        s.emplace_back(index[i], sign * shape);
    return s;
  }

  // s += factor sum_m w_m v_m(place)
  void add_modes(Linear &s, const std::vector<std::function<Vec3(const Vec3 &)>> &modes, unsigned first,
                 const Vec3 &place, double factor) const {
    for (unsigned m = 0; m < modes.size(); ++m)
      s.emplace_back(n + first + m, factor * tensor(modes[m](place)));
  }

  // The lower face of a pair that lies opposite to an upper one in the logical frame.
  std::pair<DoFHandler<3>::active_cell_iterator, unsigned> partner(Point<3> centre,
                                                                   const ContactPair &pair) const {
    for (const auto &cell : level.dofs.active_cell_iterators())
      for (const unsigned number : cell->face_indices())
        if (cell->face(number)->at_boundary() && cell->face(number)->boundary_id() == pair.lower_id) {
          const Point<3> there = cell->face(number)->center();
          centre[pair.logical_direction] = there[pair.logical_direction];
          if (centre.distance(there) < 1e-9)
            return {cell, number};
        }
    throw std::logic_error("a face in contact has no partner");
  }

  // The mean displacement of a region.
  Linear mean(const Region &region, double sign) const {
    const QGauss<3> quadrature(n_points_1d);
    FEValues<3> values(*level.mapping, level.fe, quadrature, update_values | update_JxW_values);
    std::vector<Vector3> sum(n);
    std::vector<types::global_dof_index> index(level.fe.n_dofs_per_cell());
    double total = 0;
    for (const auto &cell : level.dofs.active_cell_iterators()) {
      const auto weight = [&](const Point<3> &unit) {
        return region(Level::logical_point(cell, unit), cell->material_id());
      };
      if (weight(Point<3>(0.5, 0.5, 0.5)) <= 0)
        continue;
      values.reinit(cell);
      cell->get_dof_indices(index);
      for (unsigned q = 0; q < quadrature.size(); ++q) {
        const double part = weight(quadrature.point(q)) * values.JxW(q);
        total += part;
        for (unsigned i = 0; i < index.size(); ++i)
          sum[index[i]] += part * values[displacement].value(i, q);
      }
    }
    Linear s;
    for (unsigned i = 0; i < n; ++i)
      if (sum[i].norm() > 0)
        s.emplace_back(i, (sign / total) * sum[i]);
    return s;
  }

  void add_ties() {
    for (const Tie &tie : problem.ties) {
      Linear d = mean(tie.region, 1);
      if (tie.other)
        for (const auto &part : mean(tie.other, -1))
          d.push_back(part);
      if (!tie.other || tie.both_on_carrier)
        add_modes(d, problem.carrier.modes, 0, tie.anchor, -1);
      if (tie.other && tie.both_on_carrier)
        add_modes(d, problem.carrier.modes, 0, tie.other_anchor, 1);

      // Energy psi(e): its derivatives T and T'; e(d): its derivatives t and (1 - t t) / span.
      const bool swings = tie.length > 0;
      const Vector3 span = tie.length * tensor(tie.direction) + value(d),
                    t = swings ? span / span.norm() : tensor(tie.direction);
      const double e = swings ? span.norm() - tie.length : t * value(d);
      const double stretched = load * tie.force + tie.stiffness * e;
      double tension = std::max(stretched, 0.0) + load * tie.constant,
             stiffness = stretched > 0 ? tie.stiffness : 0;
      if (tie.stop > 0) {
        const double part = e / tie.stop, room = 1 - std::abs(part);
        if (room < 0.1)
          throw std::logic_error("a stop is written here up to nine tenths only");
        tension += tie.stop_force * (part / room - part);
        stiffness += tie.stop_force / tie.stop * (1 / (room * room) - 1);
      }
      Tensor2 k = stiffness * dyad(t);
      if (swings)
        k += tension / span.norm() * (identity() - dyad(t));
      add_quadratic(d, k, tension * t, 1);
    }
  }

  void add_holding() {
    const Carrier &carrier = problem.carrier;
    if (!carrier.modes.empty())
      slope[0] += load * carrier.force;
    const unsigned here = level.triangulation.n_global_levels() - 1;
    for (unsigned m = 0; m < carrier.holding.size(); ++m) {
      const Carrier::Holding &held = carrier.holding[m];
      const double push = here < held.push.size() ? held.push[here] : 0,
                   rest = here < held.rest.size() ? held.rest[here] : 0;
      h(n + m, n + m) += held.stiffness;
      slope[m] += load * push + held.stiffness * (x[n + m] - load * rest);
    }
  }

  // h_uu - h_uw h_ww^-1 h_wu
  void eliminate() {
    for (unsigned m = n; m < x.size(); ++m)
      for (unsigned i = 0; i < x.size(); ++i) {
        if (i == m || h(i, m) == 0)
          continue;
        const double factor = h(i, m) / h(m, m);
        for (unsigned k = 0; k < x.size(); ++k)
          h(i, k) -= factor * h(m, k);
      }
  }

  const Problem &problem;
  const Level &level;
  const double load, bound;
  const unsigned n;
  std::vector<double> x; // u, then w
  FullMatrix<double> h;  // d2 Pi / dx2
  std::vector<double> slope;
};

} // namespace

ReferenceTangent reference_tangent(const Problem &problem, const Level &level, const Vector &u,
                                   const std::vector<double> &w, double load, double bound) {
  return Reference(problem, level, u, w, load, bound).result();
}

} // namespace raybend
