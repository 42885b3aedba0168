// The volume change that a mixed cell's pressure sees, for reading stress.
#pragma once
#include "solver/body/body.hpp"
#include "solver/operator/mixed_cell.hpp"
#include <deal.II/fe/fe_values.h>
#include <optional>

namespace raybend {

/// div u of one cell after another, projected as in solver/operator/mixed_cell.hpp (small strain): once a
/// cell, when its first mixed sample comes.
class Dilatation {
public:
  explicit Dilatation(const Body &body) : body_(body) {}
  void reinit(const dealii::DoFHandler<3>::active_cell_iterator &cell);
  /// Sets s.extra_dilatation of a sample of the cell if its material is mixed.
  void mix(Sample &s);

private:
  void project();

  const Body &body_;
  dealii::DoFHandler<3>::active_cell_iterator cell_;
  bool projected_ = false;
  std::optional<dealii::FEValues<3>> values_; ///< made when first needed
  MixedCell mixed_;
  MixedCell::Coefficients coefficients_{};
};

} // namespace raybend
