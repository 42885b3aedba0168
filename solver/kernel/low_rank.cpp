// The low-rank part of the tangent: ties and the condensed carrier.
#include "solver/kernel/low_rank.hpp"

namespace raybend {

void LowRank::finish() {
  rows_.clear();
  entries_.clear();
  if (columns.empty())
    return;
  for (unsigned k = 0; k < columns[0]->locally_owned_size(); ++k) {
    const unsigned first = entries_.size();
    for (unsigned i = 0; i < columns.size(); ++i)
      if (const double value = columns[i]->local_element(k); value != 0)
        entries_.push_back({i, value});
    if (entries_.size() > first)
      rows_.push_back({k, static_cast<unsigned>(entries_.size())});
  }
}

template <typename Values> dealii::Vector<double> LowRank::project(const Values &x) const {
  const unsigned n = columns.size();
  dealii::Vector<double> y(n);
  const auto *from = x.begin();
  const Entry *entry = entries_.data();
  for (const Row &row : rows_) {
    const double factor = from[row.unknown];
    for (const Entry *end = entries_.data() + row.end; entry < end; ++entry)
      y[entry->column] += entry->value * factor;
  }
  if (n > 0)
    dealii::Utilities::MPI::sum(dealii::ArrayView<const double>(y.begin(), n), x.get_mpi_communicator(),
                                dealii::ArrayView<double>(y.begin(), n));
  return y;
}

template <typename Values> void LowRank::add(Values &dst, const dealii::Vector<double> &c) const {
  auto *to = dst.begin();
  const Entry *entry = entries_.data();
  for (const Row &row : rows_) {
    double sum = 0;
    for (const Entry *end = entries_.data() + row.end; entry < end; ++entry)
      sum += entry->value * c[entry->column];
    to[row.unknown] += sum;
  }
}

template <typename Values> void LowRank::vmult_add(Values &dst, const Values &src) const {
  if (columns.empty())
    return;
  const dealii::Vector<double> y = project(src);
  dealii::Vector<double> z(columns.size());
  m.vmult(z, y);
  add(dst, z);
}

void LowRank::add_diagonal(Vector &diagonal) const {
  unsigned first = 0;
  for (const Row &row : rows_) {
    double sum = 0;
    for (unsigned i = first; i < row.end; ++i)
      for (unsigned j = first; j < row.end; ++j)
        sum += m(entries_[i].column, entries_[j].column) * entries_[i].value * entries_[j].value;
    diagonal.local_element(row.unknown) += sum;
    first = row.end;
  }
}

template dealii::Vector<double> LowRank::project(const Vector &) const;
template void LowRank::add(Vector &, const dealii::Vector<double> &) const;
template void LowRank::vmult_add(Vector &, const Vector &) const;
template void LowRank::vmult_add(RoughVector &, const RoughVector &) const;

} // namespace raybend
