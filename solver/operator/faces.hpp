// Faces: contact, ground and springs, their part of energy, residual and tangent.
#pragma once
#include "solver/kernel/face_kernel.hpp"
#include <deal.II/lac/full_matrix.h>

namespace raybend {

/// What acts on faces. Of the weak form in solid_operator.hpp, dA_plan the area projected along `area_axis`:
///
///   contact   Pi            1/2 int_C k <-g>^2 + h |t|^2 dA_plan       g = g0 + (u_upper - u_lower).d
///             dPi(v)        int_C (h t - k <-g> d) . (v_upper - v_lower) dA_plan
///                           grip h, t the part of u_upper - u_lower normal to d
///             d2Pi(v, du)   int_C k a ((v_upper - v_lower).d) ((du_upper - du_lower).d)
///                               + h t(v) . t(du) dA_plan
///                           a = 1 where g < 0, else 0; on coarser levels the part of a face that touches
///   ground    the same with u alone, g = g0(X) + u.d, and its grip       1/2 int_G h |s|^2 dA_plan
///             dPi(v)        int_G h s . v dA_plan                      s = u - w.v_m normal to d
///   springs   Pi            1/2 int_S (u - w.v_m).K (u - w.v_m) dA     K = normal a(x)a + tangential (1 - a(x)a)
///             dPi(v)        int_S v . K (u - w.v_m) dA
///
/// Here stands what belongs to u alone; the motions w are eliminated (ties_and_carrier.hpp), for which `add_coupling`
/// gives the parts that hold them.
class Faces {
public:
  explicit Faces(const Level &level) : level_(level) {}

  /// True if the same faces carry the same as before. Throws std::logic_error where a boundary is asked to carry two of
  /// spring, traction and ground.
  bool update_problem(const Problem &problem);

  using Range = std::pair<unsigned, unsigned>;
  /// Add a range of faces' share of energy (N mm) and residual, with w = 0. u has its ghost values.
  void add_inner_residual(Vector &residual, const Vector &u, const Range &range, double &energy) const;
  void add_boundary_residual(Vector &residual, const Vector &u, const Range &range, double &energy) const;

  /// Stores the tangent at u, which has its ghost values.
  void linearize(const Vector &u);
  /// sum over contact points of activity * shape function, and of shape functions alone, both in component 2
  /// of the upper (ground: the only) side's unknowns. Their ratio, restricted level by level, tells coarser
  /// levels which part of a face is in contact: `set_active` in place of `linearize` there.
  void activity(Vector &active, Vector &all) const;
  void set_active(const Vector &active, const Vector &all);
  /// Products with the tangent and its diagonal.
  template <typename Number> const FaceKernel<Number> &kernel() const {
    if constexpr (std::is_same_v<Number, double>)
      return exact_;
    else
      return rough_;
  }

  /// For each face: its number of nodes (of both sides in contact), then their unknowns.
  void list_blocks(std::vector<unsigned> &nodes) const;
  /// The values of these blocks as Assembler takes them.
  void add_blocks(std::vector<double> &values) const;

  /// C_m = int K v_m . v  and  G_mn = int v_m . K v_n  of springs and grip that hang on a motion, dA or dA_plan. The
  /// modes are the carrier's, then the slide's; `c` holds as many vectors. Fixed unknowns count.
  void add_coupling(std::vector<Vector> &c, dealii::FullMatrix<double> &g) const;

  /// Integral of pressure over each ground face, N.
  double ground_force(const Vector &u) const;

private:
  using Motion = std::function<Vec3(const Vec3 &)>;
  enum class FaceKind { none, contact, ground, spring, traction };
  struct FaceSlot {
    FaceKind kind = FaceKind::none;
    unsigned item = 0;   ///< index into the problem's list
    double sign = 1;     ///< contact: +1 if the interior side is the upper body
    unsigned offset = 0; ///< into gap0_, active_, grip_, area_, face_stiffness_
  };

  bool find_faces();
  void make_kernels();
  /// Stiffness of points with the present activity, into the kernels.
  void fill();
  double plan_area(const FaceSlot &slot, unsigned q, double jxw) const; ///< of a face's point, per area
  /// Per area, against the displacement u.
  static dealii::Tensor<1, 3> spring_force(const SpringFace &spring, const dealii::Tensor<1, 3> &u);
  dealii::Tensor<1, 3> grip_force(const FaceSlot &slot, unsigned q, const dealii::Tensor<1, 3> &u) const;
  /// Cell's nodes on the face: global unknowns [node * 3 + component], nodes in the order of FaceEval's
  /// points.
  std::array<dealii::types::global_dof_index, 27> face_unknowns(unsigned face, bool interior) const;
  template <typename Visit> void for_gaps(const Vector &u, const Visit &visit) const;
  template <typename Visit> void for_contact_points(const Visit &visit) const;

  const Problem *problem_ = nullptr;
  const Level &level_;
  std::vector<FaceSlot> slots_; ///< one a face batch
  std::vector<double> gap0_, active_, grip_;
  std::vector<double> area_; ///< mm2: of springs' points in space, of contact and ground in plan
  std::vector<FaceStiffness> face_stiffness_;
  FaceKernel<double> exact_;
  FaceKernel<float> rough_;
};

} // namespace raybend
