// What the quantities and curves of a textbook case read from a solved body.
#pragma once
#include "cases/lab/general_problem.hpp"
#include "postprocess/lab/textbook_result.hpp"

namespace raybend {

class Body;

/// Quantities and curves of one variant, their formulas parsed.
class Readings {
public:
  /// Faults go to the log.
  Readings(const GeneralCase &c, const BoundProblem &bound, ReadingLog &log);

  /// Quantities of this variant, names completed with the variant's.
  const std::vector<TextbookQuantity> &quantities() const { return list_; }

  /// Starts a refinement level; `former` values move one level back.
  void start_level();
  /// Reads all that belongs to this load factor; `last`: it is the last of the level.
  void read(Body &body, double load, bool last, bool finite);
  /// Of the level started last, one a quantity; not a number where nothing was read.
  const std::vector<double> &values() const { return values_.back(); }
  std::vector<TextbookCurve> curves() const { return curves_; }

private:
  struct Item {
    QuantitySpec spec;
    std::unique_ptr<FormulaSet> formula;
    Vec3 at{}, to{};
    std::vector<unsigned> faces;
    double place = 0, load = 0;
    bool at_last = true;
  };
  struct Line {
    CurveSpec spec;
    std::unique_ptr<FormulaSet> formula, closed; ///< formula: x and value
    Vec3 from{}, to{};
    unsigned points = 0;
    std::vector<std::array<double, 2>> closed_points;
  };

  double read_item(const Item &item, Body &body, double load, bool finite) const;
  double rule(const Item &item) const;
  void read_line(std::size_t l, Body &body, double load, bool last, bool finite);

  Names names_;
  std::vector<Item> items_;
  std::vector<Line> lines_;
  std::vector<TextbookQuantity> list_;
  std::vector<std::string> ids_;
  std::vector<std::vector<double>> values_; ///< by level
  std::vector<TextbookCurve> curves_;
};

} // namespace raybend
