// The faces' part of a tangent (contact, ground, springs) as a fast matrix-free product.
#include "solver/kernel/face_kernel.hpp"
#include "solver/kernel/line_shapes.hpp"

namespace raybend {

using namespace dealii;

template <typename Number>
void FaceKernel<Number>::reinit(const std::vector<FaceNodes> &faces, unsigned nowhere) {
  for (unsigned q = 0; q < n_points_1d; ++q)
    for (unsigned i = 0; i <= fe_degree; ++i)
      shape_[q][i] = line_shapes().value[q][i];

  groups_.clear();
  index_.clear();
  for (const bool pair : {false, true}) {
    unsigned in_group = lanes;
    for (const FaceNodes &face : faces) {
      if (face.pair != pair)
        continue;
      if (in_group == lanes) {
        groups_.push_back({pair, {}});
        groups_.back().offset.fill(no_face);
        index_.resize(index_.size() + 54 * lanes, nowhere);
        in_group = 0;
      }
      groups_.back().offset[in_group] = face.offset;
      unsigned *index = &index_[(groups_.size() - 1) * 54 * lanes];
      for (unsigned side = 0; side < (pair ? 2u : 1u); ++side)
        for (unsigned i = 0; i < 27; ++i)
          index[(27 * side + i) * lanes + in_group] = face.unknown[side][i];
      ++in_group;
    }
  }
  stiffness_.resize_fast(0);
  stiffness_.resize(groups_.size() * n_face_points * 6 * lanes, Number());
}

template <typename Number>
void FaceKernel<Number>::set_stiffness(const std::vector<FaceStiffness> &stiffness) {
  Number *to = stiffness_.data();
  for (const Group &group : groups_)
    for (unsigned q = 0; q < n_face_points; ++q)
      for (unsigned k = 0; k < 6; ++k)
        for (unsigned l = 0; l < lanes; ++l)
          *to++ = group.offset[l] == no_face ? 0 : stiffness[group.offset[l] + q][k];
}

template <typename Number> void FaceKernel<Number>::add_product(const Number *x, Number *y) const {
  const Number(&n)[n_points_1d][fe_degree + 1] = shape_;
  const Lane *k = reinterpret_cast<const Lane *>(stiffness_.data());
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    const unsigned *first = &index_[g * 54 * lanes], *second = first + 27 * lanes;
    const bool pair = groups_[g].pair;
    Lane u[27], half[27], value[27];
    for (unsigned i = 0; i < 27; ++i)
      for (unsigned l = 0; l < lanes; ++l)
        u[i][l] = x[first[i * lanes + l]];
    if (pair)
      for (unsigned i = 0; i < 27; ++i)
        for (unsigned l = 0; l < lanes; ++l)
          u[i][l] -= x[second[i * lanes + l]];
    // Values at the points, one direction after the other: [slow][fast][component].
    for (unsigned row = 0; row < 3; ++row)
      for (unsigned q = 0; q < 3; ++q)
        for (unsigned c = 0; c < 3; ++c) {
          const Lane *v = &u[9 * row + c];
          half[9 * row + 3 * q + c] = n[q][0] * v[0] + n[q][1] * v[3] + n[q][2] * v[6];
        }
    for (unsigned q = 0; q < 3; ++q)
      for (unsigned p = 0; p < 9; ++p)
        value[9 * q + p] = n[q][0] * half[p] + n[q][1] * half[9 + p] + n[q][2] * half[18 + p];
    for (unsigned q = 0; q < n_face_points; ++q, k += 6) {
      Lane *v = &value[3 * q];
      const Lane a = v[0], b = v[1], c = v[2];
      v[0] = k[0] * a + k[1] * b + k[2] * c;
      v[1] = k[1] * a + k[3] * b + k[4] * c;
      v[2] = k[2] * a + k[4] * b + k[5] * c;
    }
    for (unsigned row = 0; row < 3; ++row)
      for (unsigned p = 0; p < 9; ++p)
        half[9 * row + p] = n[0][row] * value[p] + n[1][row] * value[9 + p] + n[2][row] * value[18 + p];
    for (unsigned row = 0; row < 3; ++row)
      for (unsigned i = 0; i < 3; ++i)
        for (unsigned c = 0; c < 3; ++c) {
          const Lane *v = &half[9 * row + c];
          u[9 * row + 3 * i + c] = n[0][i] * v[0] + n[1][i] * v[3] + n[2][i] * v[6];
        }
    for (unsigned i = 0; i < 27; ++i)
      for (unsigned l = 0; l < lanes; ++l)
        y[first[i * lanes + l]] += u[i][l];
    if (pair)
      for (unsigned i = 0; i < 27; ++i)
        for (unsigned l = 0; l < lanes; ++l)
          y[second[i * lanes + l]] -= u[i][l];
  }
}

template <typename Number> void FaceKernel<Number>::add_diagonal(double *sum) const {
  const Number *k = stiffness_.data();
  for (std::size_t g = 0; g < groups_.size(); ++g, k += n_face_points * 6 * lanes)
    for (unsigned l = 0; l < lanes; ++l) {
      if (groups_[g].offset[l] == no_face)
        continue;
      for (unsigned i = 0; i < nodes; ++i) {
        double d[3] = {};
        for (unsigned q = 0; q < n_face_points; ++q) {
          const double value = shape_[q % 3][i % 3] * shape_[q / 3][i / 3];
          const unsigned place[3] = {0, 3, 5};
          for (unsigned c = 0; c < 3; ++c)
            d[c] += value * value * k[(6 * q + place[c]) * lanes + l];
        }
        for (unsigned side = 0; side < (groups_[g].pair ? 2u : 1u); ++side)
          for (unsigned c = 0; c < 3; ++c)
            sum[index_[(54 * g + 27 * side + 3 * i + c) * lanes + l]] += d[c];
      }
    }
}

template class FaceKernel<double>;
template class FaceKernel<float>;

} // namespace raybend
