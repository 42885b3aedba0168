// What the person who reads must know before trusting the numbers.
#pragma once
#include "postprocess/compare/ranking.hpp"
#include <string>
#include <vector>

namespace raybend {

/// The case's own warnings, designs that did not converge, numbers beyond what has been measured, designs the
/// mesh cannot tell apart, forces or section moments that do not balance. Not resolution_words, which stand
/// beside the answer. Where many designs are named, by their letters.
std::vector<std::string> report_warnings(const ReportInput &input, const std::vector<RankedDesign> &ranking);

/// Of these the ones about single solves: not converged, forces or section moments that do not balance.
std::vector<std::string> solve_warnings(const ReportInput &input);

/// Strains and compressed tissue beyond what has been measured: one warning for all designs and activities.
std::vector<std::string> range_warnings(const std::vector<const ReportInput *> &activities);

/// Names the designs whose painful ray is strained more beyond the end of what counts as shaft, next to its
/// largest strain.
std::vector<std::string> end_warnings(const ReportInput &input);

/// "ray 3 (5008)", ...: rays beyond failing_strain.
std::vector<std::string> overstrained(const DesignResult &result);

/// "Ray 5 comes out more bent than published: ..." of those of these rays that do; "" if none does.
std::string over_bent_words(const std::vector<int> &rays);
/// Rays of that result beyond failing_strain.
std::vector<int> overstrained_rays(const DesignResult &result);

bool is_coarse(const ReportInput &input); ///< resolution

/// Says that coarse resolution is for a first look; empty at the others.
std::string resolution_words(const ReportInput &input);

/// Part of the applied force that the ground does not return.
double balance_error(const DesignResult &result);

/// Largest difference between the section moment and the moment from statics on any shaft, in parts of the
/// largest section moment of that ray. Zero if statics was not evaluated.
double moment_error(const DesignResult &result);

constexpr double balance_limit = 1e-6; ///< above: forces do not balance
constexpr double moment_limit = 0.05;  ///< above: section moments are not to be trusted
constexpr double most_slip_cells = 1;  ///< above: paired contact points are too far apart
/// ue: rapid loss of modulus in fatigue tests (Pattin 1996, from memory)
constexpr double failing_strain = 4000;

} // namespace raybend
