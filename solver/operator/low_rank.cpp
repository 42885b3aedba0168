#include "solver/operator/low_rank.hpp"

namespace raybend {

dealii::Vector<double> LowRank::project(const Vector &x) const {
  dealii::Vector<double> y(columns.size());
  for (unsigned i = 0; i < columns.size(); ++i)
    for (unsigned k = 0; k < x.locally_owned_size(); ++k)
      y[i] += columns[i]->local_element(k) * x.local_element(k);
  if (y.size() > 0)
    dealii::Utilities::MPI::sum(dealii::ArrayView<const double>(y.begin(), y.size()), x.get_mpi_communicator(),
                                dealii::ArrayView<double>(y.begin(), y.size()));
  return y;
}

void LowRank::vmult_add(Vector &dst, const Vector &src) const {
  if (columns.empty())
    return;
  const dealii::Vector<double> y = project(src);
  dealii::Vector<double> z(y.size());
  m.vmult(z, y);
  for (unsigned i = 0; i < columns.size(); ++i)
    if (z[i] != 0)
      dst.add(z[i], *columns[i]);
}

void LowRank::add_diagonal(Vector &diagonal) const {
  for (unsigned i = 0; i < columns.size(); ++i)
    for (unsigned j = 0; j < columns.size(); ++j)
      if (m(i, j) != 0)
        for (unsigned k = 0; k < diagonal.locally_owned_size(); ++k)
          diagonal.local_element(k) += m(i, j) * columns[i]->local_element(k) * columns[j]->local_element(k);
}

} // namespace raybend
