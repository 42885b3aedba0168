// From the stored linearization to the fast products: mixed cells and kernels.
#include "solver/operator/bound_compression.hpp"
#include "solver/operator/evaluators.hpp"
#include "solver/operator/plain_tensors.hpp"
#include "solver/operator/solid_operator.hpp"
#include "solver/operator/tangent_blocks.hpp"

namespace raybend {

using namespace dealii;

void SolidOperator::make_mixed_cells() {
  const MatrixFree<3, double> &mf = level_.matrix_free;
  mixed_of_.assign(mf.n_cell_batches(), -1);
  mixed_.clear();
  CellEval phi(mf);
  for (unsigned c = 0; c < mf.n_cell_batches(); ++c) {
    const unsigned *index = &material_[c * n_q];
    if (!problem_->materials[index[0]]->mixed() ||
        std::any_of(index, index + n_q, [&](unsigned i) { return i != index[0]; }))
      continue;
    if (problem_->materials[index[0]]->point_form() == PointForm::any)
      throw std::logic_error("a mixed material needs an invariant tangent (Material::invariant_tangent)");
    phi.reinit(c);
    std::array<Point<3>, n_q> place;
    MixedCell::Values weight;
    for (unsigned q = 0; q < n_q; ++q) {
      const auto p = phi.quadrature_point(q);
      place[q] = Point<3>(p[0][0], p[1][0], p[2][0]);
      weight[q] = phi.JxW(q)[0];
    }
    mixed_of_[c] = mixed_.size();
    mixed_.emplace_back();
    mixed_.back().reinit(place, weight);
  }
  volume_stiffness_.resize(mixed_.size());
}

void SolidOperator::make_kernels() {
  form_.assign(mixed_of_.size(), PointForm::volume);
  for (unsigned c = 0; c < form_.size(); ++c) {
    for (unsigned q = 0; q < n_q; ++q)
      form_[c] = std::max(form_[c], problem_->materials[material_[c * n_q + q]]->point_form());
    if (mixed_of_[c] >= 0)
      form_[c] = PointForm::mixed;
  }
  exact_.reinit(level_, form_);
  rough_.reinit(level_, form_);
  assembly_.reset();
  exact_ready_ = false;

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
                                     ? rough_.nowhere()
                                     : partitioner.global_to_local(unknown[i]);
    }
  }
  exact_.faces.reinit(faces, exact_.nowhere());
  rough_.faces.reinit(faces, rough_.nowhere());
}

void SolidOperator::linearize_mixed(unsigned batch) {
  const MixedCell &cell = mixed_[mixed_of_[batch]];
  const Material &material = *problem_->materials[material_[batch * n_q]];
  Linearized *points = &linearized_[batch * n_q];
  MixedCell::Values j, slope, curvature;
  for (unsigned q = 0; q < n_q; ++q)
    j[q] = determinant(points[q].f);
  const MixedCell::Values theta = cell.project(j);
  for (unsigned q = 0; q < n_q; ++q) {
    const Material::VolumeEnergy u = material.volume_energy(std::max(theta[q], least_projected_volume));
    slope[q] = u.slope;
    curvature[q] = u.curvature;
  }
  const MixedCell::Values p = cell.project(slope);
  volume_stiffness_[mixed_of_[batch]] = cell.stiffness(curvature);
  // dS of the pressure part q J C^-1 with q held is q J (C^-1 (x) C^-1 - 2 C^-1 (.) C^-1); J^2 U'' C^-1 (x)
  // C^-1 of the law's own tangent is what the projection replaces.
  for (unsigned q = 0; q < n_q; ++q) {
    const Material::VolumeEnergy u = material.volume_energy(j[q]);
    const double extra = (p[q] - u.slope) * j[q];
    points[q].tangent.h += extra;
    points[q].tangent.c += extra - u.curvature * j[q] * j[q];
  }
}

namespace {
/// A (point_tangent.hpp) of any S and CC.
void unit_tangent(const Tensor2 &f, const Sym2 &s, const Sym4 &cc, const Tensor2 &inverse, double w,
                  PointNumbers &a) {
  Tensor2 block[3][3];
  for (unsigned c = 0; c < 3; ++c)
    for (unsigned d = c; d < 3; ++d) {
      tangent_block(f, s, cc, c, d, block[c][d]);
      block[c][d] = w * (transpose(inverse) * block[c][d] * inverse);
    }
  unsigned at = 0;
  for (unsigned c = 0; c < 3; ++c)
    for (unsigned i = 0; i < 3; ++i)
      for (unsigned d = c; d < 3; ++d)
        for (unsigned m = c == d ? i : 0; m < 3; ++m)
          a[at++] = block[c][d][i][m];
}
} // namespace

void SolidOperator::fill_cells(double bound, TangentKernel<double> *exact,
                               TangentKernel<float> *rough) const {
  using P = PointPlace;
  CellEval phi(level_.matrix_free);
  PointNumbers a;
  for (unsigned c = 0; c < mixed_of_.size(); ++c) {
    phi.reinit(c);
    const int mixed = mixed_of_[c];
    for (unsigned q = 0; q < n_q; ++q) {
      const std::size_t at = c * n_q + q;
      const Linearized &p = linearized_[at];
      const double most = bound * problem_->materials[material_[at]]->initial_shear();
      const Tensor2 inverse = plain(phi.inverse_jacobian(q));
      const double w = phi.JxW(q)[0];
      if (p.invariant) {
        const Tensor2 v = transpose(invert(p.f)), k = v * inverse, h = p.f * inverse;
        Sym2 middle = p.tangent.g * unit_symmetric_tensor<3>();
        if (bound >= 0) {
          const Sym2 own = middle + p.tangent.h * symmetrize(transpose(v) * v); // S
          Sym2 s = own;
          if (bound_compression(s, most)) // what the bound adds to the geometric part
            middle += s - own;
        }
        const Tensor2 m = w * (transpose(inverse) * Tensor2(middle) * inverse);
        for (unsigned i = 0; i < 3; ++i)
          for (unsigned j = 0; j < 3; ++j) {
            a[P::k + 3 * i + j] = k[i][j];
            a[P::big_h + 3 * i + j] = h[i][j];
            if (i <= j)
              a[P::m + packed(3, i, j)] = m[i][j];
          }
        a[P::c] = w * p.tangent.c;
        a[P::h] = w * p.tangent.h;
        a[P::a] = w * p.tangent.a;
        a[P::b] = w * p.tangent.b;
        if (mixed >= 0) {
          a[P::volume] = w * determinant(p.f);
          for (unsigned i = 0; i < 3; ++i)
            a[P::moment + i] = mixed_[mixed].n[q][i + 1];
        }
        if (form_[c] == PointForm::any) {
          double full[45];
          expand_point(PointForm::invariant, a.data(), full);
          std::copy_n(full, 45, a.begin());
        }
      } else {
        Sym2 s = general_[at].s;
        if (bound >= 0)
          bound_compression(s, most);
        unit_tangent(p.f, s, general_[at].cc, inverse, w, a);
      }
      if (rough)
        rough->set_point(c, q, a);
      if (exact)
        exact->set_point(c, q, a);
    }
    if (mixed >= 0 && rough)
      rough->set_volume_stiffness(c, volume_stiffness_[mixed]);
    if (mixed >= 0 && exact)
      exact->set_volume_stiffness(c, volume_stiffness_[mixed]);
  }
}

} // namespace raybend
