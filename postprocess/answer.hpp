// The answer in words: which design leaves least in the painful ray, how sure that is, where the load goes.
#pragma once
#include "postprocess/ranking.hpp"
#include <string>
#include <vector>

namespace raybend {

/// Two sentences or three, without line ends.
std::string answer(const ReportInput &input, const std::vector<RankedDesign> &ranking);

/// The second of them, from a small letter on: what its support elements (or it, against the reference)
/// change, relieve and load; or why that cannot be said. Of a design that is ranked.
std::string reason_words(const ReportInput &input, const RankedDesign &design);

/// "ray 3 strain 900 to 980 ue (+9 %), ..." or "nowhere by more than 5 % (...)" with what was looked at. Where
/// three shafts or more carry more force, one item for all: "force on the shafts of rays 1 to 5 together from
/// 63 to 113 N (+79 %)".
std::string shift_words(const std::vector<LoadShift> &shifts);

/// The same of what carries less; "nothing by more than 5 % (...)".
std::string relief_words(const std::vector<LoadShift> &reliefs);

/// Where the load goes and what is relieved, all of it: the end of a sentence.
std::string load_words(const Difference &difference);

/// The same of what is told of it in short, and that the rest stands in the table above: the end of a
/// sentence.
std::string short_load_words(const Difference &difference, int painful_ray);

/// Of every kind the shift that rises most; of the shafts' forces all, where three or more rise.
std::vector<LoadShift> strongest_shifts(const std::vector<LoadShift> &shifts);

/// What says why a design works: of the painful ray's head and of the head that loses most force, force and
/// pressure; of the other rays the one whose strain falls most; where none of these fell, the shafts that
/// lose most force and most pressure. Empty only if nothing fell at all.
std::vector<LoadShift> telling_reliefs(const std::vector<LoadShift> &reliefs, int painful_ray);

/// What the person who reads must know before trusting the numbers: the case's own warnings, designs that did
/// not converge, designs the mesh cannot tell apart, forces or section moments that do not balance.
std::vector<std::string> report_warnings(const ReportInput &input, const std::vector<RankedDesign> &ranking);

/// Of these the ones about single solves: not converged, forces or section moments that do not balance.
std::vector<std::string> solve_warnings(const ReportInput &input);

/// "medial", "dorsolateral", ...: a direction round the section in degrees from the dorsal side over the
/// medial one.
std::string side_words(double towards);

/// Names the designs whose largest strain in the painful ray stands at an end of what counts as shaft.
std::vector<std::string> end_warnings(const ReportInput &input);

bool is_coarse(const ReportInput &input); ///< resolution

/// Says that coarse resolution is for a first look; empty at the others.
std::vector<std::string> resolution_warnings(const ReportInput &input);

/// "a, b and c"
std::string list_of(const std::vector<std::string> &items);

/// Part of the applied force that the ground does not return.
double balance_error(const DesignResult &result);

/// Largest difference between the section moment and the moment from statics on any shaft, in parts of the
/// largest section moment of that ray. Zero if statics was not evaluated.
double moment_error(const DesignResult &result);

constexpr double balance_limit = 1e-6;               ///< above: forces do not balance
constexpr double moment_limit = 0.05;                ///< above: section moments are not to be trusted
constexpr double shaft_from = 0.15, shaft_to = 0.85; ///< part of a ray's length that counts as shaft

} // namespace raybend
