// Sections of the page; each is HTML with its heading.
#pragma once
#include "postprocess/compare/day.hpp"
#include "postprocess/page/html.hpp"
#include <string>
#include <vector>

namespace raybend {

/// One activity and where its numbers stand in summary.json: "" or "/activities/0".
struct PageActivity {
  const ReportInput &input;
  const std::vector<RankedDesign> &ranking;
  std::string key;
};

std::string page_section(const std::string &id, const std::string &heading, const std::string &content,
                         const std::string &classes = "");
/// "<li>...</li>" of each.
std::string page_list(const std::vector<std::string> &items);
/// A table in a group of its own, which the keyboard scrolls; columns behind the first `words_first` are numbers.
std::string page_table(const std::string &label, const std::vector<std::string> &heads,
                       const std::string &rows, std::size_t words_first = 2);
/// The badge with a design's letter, in its colour.
std::string page_letter(std::size_t place);

std::string ranking_rows(const PageActivity &activity, const PageNumbers &numbers);
std::string strain_bars(const PageActivity &activity, const PageNumbers &numbers);
/// Folded away: a table of the five rays for every design.
std::string ray_tables(const PageActivity &activity, const PageNumbers &numbers);

std::string day_ranking_rows(const DayInput &input, const DayRanking &day, const PageNumbers &numbers);
std::string day_bars(const DayInput &input, const DayRanking &day, const PageNumbers &numbers);
std::string day_activities(const DayInput &input, const PageNumbers &numbers);

} // namespace raybend
