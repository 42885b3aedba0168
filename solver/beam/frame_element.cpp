// One straight element of the frame: stiffness by flexibility, loads, foundation.
#include "solver/beam/frame_element.hpp"
#include <stdexcept>

namespace raybend {

Matrix6 inverse(Matrix6 a) {
  Matrix6 b{};
  for (int i = 0; i < 6; ++i)
    b[i][i] = 1;
  for (int c = 0; c < 6; ++c) {
    int pivot = c;
    for (int r = c + 1; r < 6; ++r)
      if (std::abs(a[r][c]) > std::abs(a[pivot][c]))
        pivot = r;
    if (a[pivot][c] == 0)
      throw std::logic_error("an element of the frame has no stiffness");
    std::swap(a[c], a[pivot]);
    std::swap(b[c], b[pivot]);
    const double d = a[c][c];
    for (int j = 0; j < 6; ++j) {
      a[c][j] /= d;
      b[c][j] /= d;
    }
    for (int r = 0; r < 6; ++r) {
      const double f = r == c ? 0 : a[r][c];
      for (int j = 0; f != 0 && j < 6; ++j) {
        a[r][j] -= f * a[c][j];
        b[r][j] -= f * b[c][j];
      }
    }
  }
  return b;
}

FrameElement::FrameElement(const Beam &beam, const BeamTheory theory, const double s0_, const double s1_)
    : s0(s0_), s1(s1_) {
  const Vec3 chord = axis_frame(beam, s1).place - axis_frame(beam, s0).place;
  length = norm(chord);
  axes[0] = unit(chord);
  axes[1] = {0, 1, 0};
  axes[2] = cross(axes[0], axes[1]);

  // Flexibility of the end for an element clamped at its start. Section forces at x from the end forces q:
  // N = q0, Vy = q1, Vz = q2, T = q3, My = q4 - (l - x) q2, Mz = q5 + (l - x) q1.
  Matrix6 f{};
  constexpr double point[4] = {0.069431844202973712, 0.330009478207571868, 0.669990521792428132,
                               0.930568155797026288};
  constexpr double weight[4] = {0.173927422568726929, 0.326072577431273071, 0.326072577431273071,
                                0.173927422568726929};
  for (int p = 0; p < 4; ++p) {
    const SectionStiffness k = section_stiffness(beam, s0 + point[p] * (s1 - s0));
    const double arm = (1 - point[p]) * length, w = weight[p] * length;
    const double shear = theory == BeamTheory::euler ? 0 : 1;
    Matrix6 compliance{}; // S^-1
    compliance[0][0] = 1 / k.ea;
    compliance[1][1] = shear / k.gay;
    compliance[2][2] = shear / k.gaz;
    compliance[3][3] = 1 / k.gj;
    const double det = k.eiy * k.eiz - k.eiyz * k.eiyz;
    compliance[4][4] = k.eiz / det;
    compliance[5][5] = k.eiy / det;
    compliance[4][5] = compliance[5][4] = k.eiyz / det;
    Matrix6 b{};
    for (int i = 0; i < 6; ++i)
      b[i][i] = 1;
    b[4][2] = -arm;
    b[5][1] = arm;
    for (int i = 0; i < 6; ++i)
      for (int j = 0; j < 6; ++j)
        for (int m = 0; m < 6; ++m)
          for (int n = 0; n < 6; ++n)
            f[i][j] += w * b[m][i] * compliance[m][n] * b[n][j];
  }
  const Matrix6 k = inverse(f);
  // G: motion of the end beyond the rigid motion of the start, u1 - u0 - theta0 x (l, 0, 0).
  std::array<Vector12, 6> g{};
  for (int i = 0; i < 6; ++i) {
    g[i][6 + i] = 1;
    g[i][i] = -1;
  }
  g[1][5] = -length;
  g[2][4] = length;
  local = {};
  for (int i = 0; i < 12; ++i)
    for (int j = 0; j < 12; ++j)
      for (int m = 0; m < 6; ++m)
        for (int n = 0; n < 6; ++n)
          local[i][j] += g[m][i] * k[m][n] * g[n][j];
  rotate();
}

void FrameElement::rotate() {
  // fixed = R^T local R, blockwise; rows of R are the axes.
  Matrix12 half{};
  for (int i = 0; i < 12; ++i)
    for (int j = 0; j < 12; ++j)
      for (int a = 0; a < 3; ++a)
        half[i][j] += local[i][3 * (j / 3) + a] * axes[a][j % 3];
  fixed = {};
  for (int i = 0; i < 12; ++i)
    for (int j = 0; j < 12; ++j)
      for (int a = 0; a < 3; ++a)
        fixed[i][j] += axes[a][i % 3] * half[3 * (i / 3) + a][j];
}

Vector12 FrameElement::to_local(const Vector12 &v) const {
  Vector12 out{};
  for (int i = 0; i < 12; ++i)
    for (int a = 0; a < 3; ++a)
      out[i] += axes[i % 3][a] * v[3 * (i / 3) + a];
  return out;
}

Vector12 FrameElement::to_fixed(const Vector12 &v) const {
  Vector12 out{};
  for (int i = 0; i < 12; ++i)
    for (int a = 0; a < 3; ++a)
      out[i] += axes[a][i % 3] * v[3 * (i / 3) + a];
  return out;
}

Vector12 FrameElement::linear_load(const Vec3 &q0, const Vec3 &q1) const {
  // Of the clamped-clamped beam: forces l (7 q0 + 3 q1)/20 and l (3 q0 + 7 q1)/20 across it, moments
  // t x l^2 (3 q0 + 2 q1)/60, and opposite l^2 (2 q0 + 3 q1)/60 at the end; along it l (2 q0 + q1)/6.
  Vector12 f{};
  const Vec3 along = axes[0];
  const auto force = [&](const Vec3 &near, const Vec3 &far) {
    const Vec3 across = (length / 20) * (7 * near + 3 * far), axial = (length / 6) * (2 * near + far);
    return across + dot(along, axial - across) * along;
  };
  const Vec3 forces[2] = {force(q0, q1), force(q1, q0)},
             couples[2] = {(length * length / 60) * cross(along, 3 * q0 + 2 * q1),
                           (-length * length / 60) * cross(along, 2 * q0 + 3 * q1)};
  for (int end = 0; end < 2; ++end)
    for (int c = 0; c < 3; ++c) {
      f[6 * end + c] = forces[end][c];
      f[6 * end + 3 + c] = couples[end][c];
    }
  return f;
}

Vector12 FrameElement::thermal_load(const Beam &beam) const {
  const FreeStrain free = free_strain(beam, (s0 + s1) / 2);
  Vector12 motion{}; // of the end of the free element, its start held
  motion[6] = free.axial * length;
  motion[8] = -free.curvature * length * length / 2;
  motion[10] = free.curvature * length;
  Vector12 f{};
  for (int i = 0; i < 12; ++i)
    for (int j = 0; j < 12; ++j)
      f[i] += local[i][j] * motion[j];
  return to_fixed(f);
}

void FrameElement::add_foundation(const double k) {
  // k int H H^T dx with the cubic functions of w (along z) and theta_y = -dw/dx.
  const double l = length, c = k * l / 420;
  const int place[4] = {2, 4, 8, 10};
  const double m[4][4] = {{156, -22 * l, 54, 13 * l},
                          {-22 * l, 4 * l * l, -13 * l, -3 * l * l},
                          {54, -13 * l, 156, 22 * l},
                          {13 * l, -3 * l * l, 22 * l, 4 * l * l}};
  for (int i = 0; i < 4; ++i)
    for (int j = 0; j < 4; ++j)
      local[place[i]][place[j]] += c * m[i][j];
  rotate();
}

} // namespace raybend
