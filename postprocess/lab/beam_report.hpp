// A solved beam as people read it: tables, charts and the words between them.
#pragma once
#include "postprocess/files/report_files.hpp"
#include "postprocess/lab/textbook_result.hpp"
#include "solver/beam/frame.hpp"
#include "solver/beam/solid.hpp"
#include <array>
#include <functional>
#include <string>
#include <vector>

namespace raybend {

/// Axial stress at one point of the outline, MPa.
struct BeamStress {
  double s = 0;
  double y = 0, z = 0;          ///< mm from the elastic centroid
  double solid = 0, before = 0; ///< of the last level and of the one before it
  double navier = 0;            ///< from the section forces of the last level
  bool clear = false;           ///< a depth or more away from loads, supports and ends
};

struct BeamReport {
  Beam beam;
  std::string path, text;                 ///< of the beam file
  std::vector<std::string> warnings;      ///< the beam file's: values out of their usual range, ...
  std::vector<std::string> beyond_theory; ///< where theory does not hold
  std::vector<SolidResult> levels;        ///< from the coarsest
  FrameResult euler, timoshenko;          ///< hold the last level's stations
  std::vector<BeamStress> stresses;
  TextbookResult compared; ///< the file's [[quantity]], one level: the last; may be empty
  std::vector<std::pair<std::string, std::string>> versions;
  std::string date;   ///< of the calculation, ISO 8601; empty: not said
  double seconds = 0; ///< of solving, without tables and pictures

  const SolidResult &last() const { return levels.back(); }
  /// Change of a displacement from the last level but one to the last, mm; NaN with one level only.
  double band(double s, int component) const;
  double twist_band(double s) const;   ///< the same of the rotation about the axis, rad
  double theory_twist(double s) const; ///< rotation about the axis by torsion theory, rad
};

/// What is worth a table or a chart; the rest is what rounding and the mesh leave of a zero.
struct BeamCounts {
  std::array<bool, 3> u{}, force{}, moment{};
  bool twist = false;
  bool any_displacement() const { return u[0] || u[1] || u[2]; }
};
BeamCounts what_counts(const BeamReport &report);

/// Markdown for the file and the terminal.
std::string beam_summary(const BeamReport &report, const std::vector<std::string> &files);

/// One line for each station: displacements (3D and both theories), twist (3D and theory) and section forces
/// (integrals, statics); 7 significant digits, an empty field where there is no number.
std::string beam_csv(const BeamReport &report);

/// Everything as one JSON document; not a number is null.
std::string beam_json(const BeamReport &report);

/// A line whose values at `jumps` (places equal to within `same`) are those just before, with a second point
/// there for the value just beyond: a step in place of a slope.
std::vector<std::array<double, 2>> with_steps(const std::vector<std::array<double, 2>> &line,
                                              const std::vector<double> &jumps, double same);

/// Draws section forces, deflections and twist, what of them counts, as PNG and SVG; returns the files' names. Needs a Display.
std::vector<std::string> write_beam_charts(const BeamReport &report, const std::string &folder);

/// Writes all of it but the VTU, as write_parts does: without a display there are no pictures. `files` are
/// there already.
WrittenReport write_beam_report(const BeamReport &report, const std::string &folder, bool pictures,
                                const std::vector<std::string> &files);

} // namespace raybend
