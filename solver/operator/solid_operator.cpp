// The nonlinear operator of a problem on one level: the sum of its parts.
#include "solver/operator/solid_operator.hpp"
#include "solver/operator/dead_loads.hpp"

namespace raybend {

using namespace dealii;

SolidOperator::SolidOperator(const Problem &problem, const Level &level)
    : problem_(&problem), level_(level), bulk_(level), faces_(level), ties_(level) {
  update_problem(problem);
}

void SolidOperator::update_problem(const Problem &problem) {
  problem_ = &problem;
  ++shape_number_;
  bulk_.update_problem(problem);
  if (!faces_.update_problem(problem))
    assembler_.forget(); // the matrix's pattern goes by the list of faces
  ties_.update_problem(problem, faces_);
  external_ = dead_loads(problem, level_);
  exact_ready_ = false;
  const unsigned size = level_.local_entries() + 1;
  for (auto *v : {&exact_.x, &exact_.y})
    v->assign(size, 0);
  for (auto *v : {&rough_.x, &rough_.y})
    v->assign(size, 0);
}

SolidOperator::Evaluation SolidOperator::evaluate(const Vector &u, double load, Vector *residual) const {
  using Range = std::pair<unsigned, unsigned>;
  using Share = std::function<void(const MatrixFree<3, double> &, Vector &, const Vector &, const Range &)>;
  Evaluation result;
  result.noise = bulk_.noise();
  double energy = 0;
  bool admissible = true;
  const Share cells = [&](const auto &, Vector &to, const Vector &at, const Range &range) {
    admissible = bulk_.add_residual(to, at, range, residual != nullptr, energy) && admissible;
  };
  const Share inner = [&](const auto &, Vector &to, const Vector &at, const Range &range) {
    faces_.add_inner_residual(to, at, range, energy);
  };
  const Share boundary = [&](const auto &, Vector &to, const Vector &at, const Range &range) {
    faces_.add_boundary_residual(to, at, range, energy);
  };
  Vector scratch;
  if (residual == nullptr)
    level_.initialize(scratch);
  level_.matrix_free.loop(cells, inner, boundary, residual ? *residual : scratch, u, true);
  result.admissible = Utilities::MPI::min(admissible ? 1 : 0, level_.comm) == 1;
  if (!result.admissible)
    return result;
  result.energy = Utilities::MPI::sum(energy, level_.comm) - load * (external_ * u);
  if (residual)
    residual->add(-load, external_);
  result.admissible = ties_.add_residual(residual, u, load, result.energy, result.noise);
  if (residual)
    level_.constraints.set_zero(*residual);
  return result;
}

void SolidOperator::linearize(const Vector &u, double load, bool on_level) {
  const bool had_ghosts = u.has_ghost_elements();
  u.update_ghost_values();
  bulk_.linearize(u, on_level);
  if (!on_level)
    faces_.linearize(u);
  if (!had_ghosts)
    u.zero_out_ghost_values();
  ties_.linearize(u, load);
  exact_ready_ = !on_level;
}

template <typename Number, typename Values>
void SolidOperator::product(Local<Number> &local, Values &dst, const Values &src) const {
  const bool had_ghosts = src.has_ghost_elements();
  src.update_ghost_values();
  const unsigned entries = level_.local_entries();
  const auto *from = src.begin();
  for (unsigned i = 0; i < entries; ++i) {
    local.x[i] = from[i];
    local.y[i] = 0;
  }
  bulk_.kernel<Number>().add_product(local.x.data(), local.y.data());
  faces_.kernel<Number>().add_product(local.x.data(), local.y.data());
  dst.zero_out_ghost_values();
  auto *to = dst.begin();
  for (unsigned i = 0; i < entries; ++i)
    to[i] = local.y[i];
  dst.compress(VectorOperation::add);
  if (!had_ghosts)
    src.zero_out_ghost_values();
  low_rank().vmult_add(dst, src);
  level_.constraints.set_zero(dst);
}

void SolidOperator::vmult(Vector &dst, const Vector &src) const {
  if (exact_ready_)
    product(exact_, dst, src);
  else
    product(rough_, dst, src);
}

void SolidOperator::rough_vmult(Vector &dst, const Vector &src) const {
  product(rough_, dst, src);
}

void SolidOperator::rough_vmult(RoughVector &dst, const RoughVector &src) const {
  product(rough_, dst, src);
}

void SolidOperator::compute_diagonal(Vector &diagonal) const {
  level_.initialize(diagonal);
  std::vector<double> sum(level_.local_entries() + 1, 0.0);
  const auto add = [&sum](const auto &cells, const auto &faces) {
    cells.add_diagonal(sum.data());
    faces.add_diagonal(sum.data());
  };
  if (exact_ready_)
    add(bulk_.kernel<double>(), faces_.kernel<double>());
  else
    add(bulk_.kernel<float>(), faces_.kernel<float>());
  std::copy(sum.begin(), sum.end() - 1, diagonal.begin());
  diagonal.compress(VectorOperation::add);
  low_rank().add_diagonal(diagonal);
  for (unsigned i = 0; i < diagonal.locally_owned_size(); ++i)
    if (diagonal.local_element(i) <= 0)
      diagonal.local_element(i) = 1;
}

void SolidOperator::assemble(LowerTriangle &matrix, double bound) const {
  if (matrix.size() != m() || !assembler_.ready()) {
    std::vector<unsigned> blocks;
    bulk_.list_blocks(blocks);
    faces_.list_blocks(blocks);
    assembler_.make_pattern(level_, blocks, matrix);
  }
  std::vector<double> values;
  bulk_.add_blocks(bound, values);
  faces_.add_blocks(values);
  assembler_.fill(level_.comm, values, matrix);
}

} // namespace raybend
