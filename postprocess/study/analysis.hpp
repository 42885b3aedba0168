// Curves, maps and indices of a study's outputs.
#pragma once
#include "postprocess/study/study_data.hpp"
#include "postprocess/study/surrogate.hpp"
#include <functional>

namespace raybend {

struct CurvePoint {
  double x = 0, y = 0, low = 0, high = 0;
};

/// One series over one input.
struct ResponseCurve {
  std::size_t series = 0, input = 0;
  std::vector<CurvePoint> points; ///< by x
  std::string band;               ///< what low and high are
};

/// Mean of a series over two inputs.
struct HeatMap {
  std::size_t series = 0, x_input = 0, y_input = 0;
  std::vector<double> x, y;  ///< levels
  std::vector<double> value; ///< [iy * x.size() + ix], NaN where nothing is known
};

/// How far one input alone moves a series: the least and the largest of its curve.
struct Swing {
  std::size_t input = 0;
  double at_low = 0, at_high = 0; ///< the input's values there
  double low = 0, high = 0;       ///< of the output
};
struct Tornado {
  std::size_t series = 0;
  double middle = 0;         ///< base, or mean of all points
  std::vector<Swing> swings; ///< widest first
};

/// True if no point moves it by more than what solves in another order leave (surrogate.hpp).
bool is_constant(const StudySeries &series);

struct StudyAnalysis {
  std::vector<ResponseCurve> curves;
  std::vector<HeatMap> maps;
  std::vector<Tornado> tornados;
  std::vector<Indices> indices; ///< one a series; empty where the plan gives none
};

/// A grid's curve is the mean over the other inputs, from least to largest; with one input each value and the mesh's
/// band. One at a time: the values and the mesh's band. A sample: the surrogate's mean over the other inputs and the
/// standard deviation of what it misses; where it does not hold, means of parts with the same number of points and
/// the range of the middle eight tenths.
StudyAnalysis analyse(const StudyData &data, const std::function<void(const std::string &)> &progress);

} // namespace raybend
