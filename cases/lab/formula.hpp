// A formula in a case file: numbers, names, the usual functions.
#pragma once
#include <map>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

namespace raybend {

/// The text is no formula, or names something that is not known; what() says which and where in the text.
struct FormulaError : std::runtime_error {
  using std::runtime_error::runtime_error;
  std::string unknown; ///< the name that is not known, if that is what is wrong
};

/// Evaluated by muParser: + - * / ^, comparisons, && ||, `condition ? a : b`, sin cos tan asin acos atan
/// atan2 sinh cosh tanh exp ln log10 log2 sqrt abs sign rint min max sum; `pi`. Angles in radians.
class Formula {
public:
  /// `variables` get their values at each evaluation, in this order; `constants` are fixed now.
  /// Throws FormulaError.
  Formula(const std::string &text, const std::vector<std::string> &variables,
          const std::map<std::string, double> &constants);
  ~Formula();
  Formula(Formula &&) noexcept;
  Formula(const Formula &) = delete;

  /// One value a variable (further values are not looked at). May be infinite or not a number where the
  /// formula is.
  double operator()(const std::vector<double> &values) const;
  double operator()(double a, double b, double c) const;

  /// Names that a formula can not be given as constants or variables: functions and pi.
  static bool reserved(const std::string &name);
  /// A name as the formulas know it: a letter or underscore, then letters, digits, underscores.
  static bool valid_name(const std::string &name);

private:
  struct Parser;
  std::unique_ptr<Parser> parser_;
};

} // namespace raybend
