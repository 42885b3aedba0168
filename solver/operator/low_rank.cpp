#include "solver/operator/low_rank.hpp"

namespace raybend {

void LowRank::finish() {
  rows_.clear();
  values_.clear();
  if (columns.empty())
    return;
  for (unsigned k = 0; k < columns[0]->locally_owned_size(); ++k) {
    bool any = false;
    for (const Vector *column : columns)
      any = any || column->local_element(k) != 0;
    if (!any)
      continue;
    rows_.push_back(k);
    for (const Vector *column : columns)
      values_.push_back(column->local_element(k));
  }
}

dealii::Vector<double> LowRank::project(const Vector &x) const {
  const unsigned n = columns.size();
  dealii::Vector<double> y(n);
  double *sum = y.begin();
  const double *from = x.begin(), *value = values_.data();
  for (const unsigned row : rows_) {
    const double factor = from[row];
    for (unsigned i = 0; i < n; ++i)
      sum[i] += *value++ * factor;
  }
  if (n > 0)
    dealii::Utilities::MPI::sum(dealii::ArrayView<const double>(y.begin(), n), x.get_mpi_communicator(),
                                dealii::ArrayView<double>(y.begin(), n));
  return y;
}

void LowRank::vmult_add(Vector &dst, const Vector &src) const {
  if (columns.empty())
    return;
  const unsigned n = columns.size();
  const dealii::Vector<double> y = project(src);
  dealii::Vector<double> z(n);
  m.vmult(z, y);
  const double *factor = z.begin(), *value = values_.data();
  double *to = dst.begin();
  for (const unsigned row : rows_) {
    double sum = 0;
    for (unsigned i = 0; i < n; ++i)
      sum += *value++ * factor[i];
    to[row] += sum;
  }
}

void LowRank::add_diagonal(Vector &diagonal) const {
  const unsigned n = columns.size();
  for (std::size_t r = 0; r < rows_.size(); ++r) {
    const double *v = &values_[r * n];
    double sum = 0;
    for (unsigned i = 0; i < n; ++i)
      for (unsigned j = 0; j < n; ++j)
        sum += m(i, j) * v[i] * v[j];
    diagonal.local_element(rows_[r]) += sum;
  }
}

} // namespace raybend
