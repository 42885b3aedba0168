// Parts of the report in words that one activity and a whole day share. Markdown, each ends with a line end.
#pragma once
#include "postprocess/compare/ranking.hpp"
#include "postprocess/words/answer.hpp"
#include <string>
#include <vector>

namespace raybend {

/// The first lines: title, program, its version and the calculation's date (may be empty).
std::string title_words(const std::string &title, const std::string &date);

/// Title, question and answer; a coarse resolution is one of the answer's points.
std::string opening_words(const ReportInput &input, const std::string &answer_heading, Answer said);

std::string heading(const std::string &words);
std::string item(const std::string &words); ///< of a list, wrapped

/// A number of the case as its writer gave it.
std::string as_given(double value);

/// Of the design at that place of `outcomes`, on one line.
std::string design_name(const ReportInput &input, std::size_t place);

/// The same of an outcome, in quotes.
std::string quoted_name(const DesignOutcome &outcome);

std::string rank_words(int best, int worst); ///< "1", "1 to 2"

std::string patient_words(const ReportInput &input); ///< with its heading

/// "barefoot on rigid ground", "plantar fascia cut", ...: what an activity has beyond its numbers.
std::vector<std::string> special_words(const Activity &activity);

/// Force, heel rise, steps and what is special; without a heading.
std::string activity_words(const ReportInput &input);

/// What the ranking's columns mean.
std::string ranking_note(const Forefoot &foot);
std::string ranking_table(const ReportInput &input, const std::vector<RankedDesign> &ranking);

/// What each design is made of, with its heading; "" if not known.
std::string designs_part(const ReportInput &input);
std::string changes_part(const ReportInput &input); ///< on the command line, with its heading; "" without any

/// Strain, bending and loads of each ray with one design, and what changed; with its heading.
std::string design_section(const ReportInput &input, const RankedDesign &design);

/// Part of all head force that this ray's head carries, percent.
std::string head_share(const DesignResult &result, const RayResult &ray);

/// True if the reference is the design without its support elements: one comparison, not two.
bool reference_is_unsupported(const ReportInput &input, const RankedDesign &design);

/// Percent that each ray changed by, of these designs without their support elements and against the
/// reference; "" if there is nothing to compare.
std::string change_table(const ReportInput &input, const std::vector<RankedDesign> &designs);

/// Tables of all designs, one a number with a column a ray, and the changes.
std::string by_ray_tables(const ReportInput &input, const std::vector<RankedDesign> &ranking);
bool has_ray_tables(const ReportInput &input); ///< false: nothing converged

/// Which tables a summary holds.
struct TablesHeld {
  bool whole_day = false, rays = false, changes = false;
  bool course = false; ///< several instants of a step were solved
};
bool has_course(const ReportInput &input);
/// What these numbers mean and do not mean, one statement an item.
std::vector<std::string> meaning_list(const TablesHeld &held);
/// Explains the numbers of these tables; with its heading.
std::string meaning_words(const TablesHeld &held);
/// With its heading.
std::string warnings_part(const std::vector<std::string> &warnings);
std::string caution_words(); ///< with its heading

/// The section that lists the files; nothing if there are none.
std::string files_part(const std::vector<std::string> &files);

/// The same as a paragraph.
std::string files_in_short(const std::vector<std::string> &files);

/// What only the lab needs, with its heading: the fascia's tension, cost and balance of every solve; a column
/// for the activity where there are several.
std::string lab_part(const std::vector<const ReportInput *> &activities);

} // namespace raybend
