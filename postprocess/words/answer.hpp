// The answer in words: which design leaves least in the painful ray, how sure that is, where the load goes.
#pragma once
#include "postprocess/compare/ranking.hpp"
#include <string>
#include <vector>

namespace raybend {

struct Answer {
  std::vector<std::string> sentences; ///< two or three: which design, by how much
  std::vector<std::string> points;    ///< of that design, a short list
};

Answer answer(const ReportInput &input, const std::vector<RankedDesign> &ranking);

/// Without line ends.
std::string answer_text(const Answer &answer);

/// A paragraph and a list below it, Markdown.
std::string answer_part(const Answer &answer);

/// What the support elements of a ranked design (or it, against the reference) change, relieve and load; or
/// why that cannot be said. Changes within their bands are left out. `before`, such as "In the stairs", begins the
/// first one.
std::vector<std::string> reason_points(const ReportInput &input, const RankedDesign &design,
                                       const std::string &before = "");

/// "Not told apart from it at this mesh: ...", "" without any.
std::string open_point(const std::vector<std::string> &designs);

/// Where that design strains rays beyond failing_strain, and which of these come out too high; "" without any.
/// Of several activities each is named.
std::string beyond_point(const std::vector<const ReportInput *> &activities, std::size_t place);

/// "medial", "dorsolateral", ...: a direction round the section in degrees from the dorsal side over the
/// medial one.
std::string side_words(double towards);

} // namespace raybend
