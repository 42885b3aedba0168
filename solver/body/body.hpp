// A body as a problem with its levels: solved, and read at points and sections. Carries the textbook cases
// and beams.
#pragma once
#include "geometry/constants.hpp"
#include "meshing/box_mesh.hpp"
#include "solver/body/face_nodes.hpp"
#include "solver/materials/invariant_material.hpp"
#include "solver/newton/newton.hpp"
#include <set>
#include <string>

namespace raybend {

/// A problem of one material filling a box in the logical frame; nothing held or loaded yet.
Problem box_problem(const Vec3 &low, const Vec3 &high, const std::array<unsigned, 3> &cells,
                    MaterialPtr material, std::function<Vec3(const Vec3 &)> position = {});

/// What a body shows at one of its points.
struct Sample {
  Vec3 x{}, u{};
  Tensor2 gradient;      ///< du/dX
  unsigned material = 0; ///< index
  /// Projected less local div u: what the pressure of a mixed cell sees beyond the gradient (small strain).
  double extra_dilatation = 0;
};

/// A general body with a problem's loads and supports, for beams and textbook cases: solved, then read at
/// points, on faces and cuts. Lengths mm, forces N, stress MPa. solve() works on any number of ranks;
/// whatever reads the solution needs one, as it visits all cells.
class Body {
public:
  /// `direct`: the finest level is factorized as it is (nearly incompressible bodies, small meshes);
  /// otherwise levels 0 to `refinements` make a multigrid hierarchy. Throws FoldedCell where the
  /// shape turns a cell inside out, std::runtime_error if a load's region holds no cell.
  Body(Problem problem, unsigned refinements, bool direct = false, MPI_Comm comm = MPI_COMM_WORLD);

  /// The small-strain solution under the loads (factor 1) and the prescribed displacements: tangent at u = 0.
  /// Without any load u stays at what is prescribed. Throws std::runtime_error if conjugate gradients do not
  /// reach `reduction` in 500 iterations, or if part of the body is held by nothing.
  void solve_linear(double reduction = 1e-10);

  /// Finite-strain solution at a load factor, starting from the current u. `force` scales the tolerance, N.
  NewtonReport solve(double load, double force, double tolerance = 1e-9, unsigned max_steps = 40);

  /// At a point of the logical frame (of the cell found there; on a face either neighbour).
  Sample at(const Vec3 &logical) const;
  /// At a place of the reference shape, mm: the cell whose inverted map comes nearest (a point a little
  /// outside, as on a curved face, is moved onto the cell). Throws std::runtime_error if no cell is near.
  Sample at_place(const Vec3 &place) const;

  /// Visits quadrature points of the faces with an id; `weight` is the point's area, mm2, `normal` the unit
  /// outward normal of the reference shape.
  void on_face(unsigned id,
               const std::function<void(const Sample &, double weight, const Vec3 &normal)> &visit) const;

  /// Visits Gauss points (`points` along each axis, the first axis fastest) of all cells in their order;
  /// `weight` is the point's volume, mm3.
  void everywhere(const std::function<void(const Sample &, double weight)> &visit, unsigned points = 5) const;

  /// Call after the functions of problem() changed (loads, supports' values): all levels take them over.
  void refresh();
  Problem &problem() { return problem_; }

  /// Small-strain stress C : (sym grad u - thermal strain), MPa; mixed cells with their projected pressure.
  Sym2 small_stress(const Sample &s) const;
  /// Cauchy stress by the law at the point's own volume change, MPa; not for mixed cells, whose pressure is
  /// projected.
  Sym2 cauchy_stress(const Sample &s) const;

  /// Force and moment about `centre` that the part beyond the logical plane x[axis] = value exerts on the
  /// part before it (small strain, from the internal forces of the plane's nodes); N, N mm.
  NodalSum section(int axis, double value, const Vec3 &centre) const;

  /// Work-conjugate mean: integral of displacement . weight over the faces with an id, mm3 times weight.
  double face_integral(unsigned id, const std::function<Vec3(const Vec3 &)> &weight) const;

  /// Area of the faces with an id.
  double face_area(unsigned id) const;

  /// dPi/du with no unknown held: forces that supports exert where u is prescribed, N.
  Vector unbalanced(double load, bool linear) const;
  /// Sum of `forces` over the nodes of faces with one of the ids, each node once.
  Vec3 sum_on_faces(const Vector &forces, const std::set<unsigned> &ids) const;

  SolidOperator &op() { return *operators_.back(); }
  const Level &level() const { return *levels_.back(); }
  Preconditioner &preconditioner() { return *preconditioner_; }
  const Problem &problem() const { return problem_; }

  Vector u;
  unsigned iterations = 0; ///< of the last linear solution

private:
  void make_free() const;
  void add_thermal(Vector &r, double factor) const;

  MPI_Comm comm_;
  unsigned refinements_;
  Problem problem_;
  mutable Problem free_problem_;
  std::vector<std::unique_ptr<Level>> levels_;
  std::vector<std::unique_ptr<SolidOperator>> operators_;
  std::shared_ptr<Preconditioner> preconditioner_;
  mutable std::unique_ptr<Level> free_level_; ///< as the finest level, with no unknown held
  mutable std::unique_ptr<SolidOperator> free_operator_;
};

} // namespace raybend
