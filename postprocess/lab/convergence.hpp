// What a sequence of refined meshes says about the exact value.
#pragma once
#include <string>
#include <vector>

namespace raybend {

/// Richardson's extrapolation with the band of Roache's grid convergence index (Roache 1994, J Fluids Eng
/// 116:405; 1998; formulae from memory). f1 is the finest of the last three values, the meshes a factor r
/// apart:
///   p = ln[(f3 - f2)/(f2 - f1)] / ln r,   f0 = f1 + (f1 - f2)/(r^p - 1),
///   band = Fs |f1 - f2|/(r^p - 1),        Fs = 1.25 with three grids, 3 with two (p is then the formal
///   order).
struct Extrapolation {
  bool valid = false;
  double order = 0; ///< observed; with two grids the formal one; not a number where changes are negligible
  double value = 0; ///< f0, unit of the values
  double band = 0;  ///< half width about the finest value f1, unit of the values
  std::string why;  ///< why not valid: oscillating, order far above the formal one, ...
};

/// `values` from the coarsest mesh to the finest; the last three count, two do if there are no more.
/// Rejected: changes of opposite sign, changes that do not shrink, an observed order above twice the formal
/// one (values that left the asymptotic range, or wander by chance), and values not finite. `negligible`:
/// changes below it (unit of the values) count as rounding; the finest value is then its own answer.
Extrapolation extrapolate(const std::vector<double> &values, double formal_order, double ratio = 2,
                          double negligible = 0);

} // namespace raybend
