// The report on a day of several activities in words and tables: the whole day first, then activity by activity.
#include "postprocess/words/day_summary.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/day_answer.hpp"
#include "postprocess/words/load_words.hpp"
#include "postprocess/words/picture_words.hpp"
#include "postprocess/words/summary_parts.hpp"
#include "postprocess/words/sure_words.hpp"
#include "postprocess/words/warnings.hpp"
#include <algorithm>

namespace raybend {

namespace {

constexpr auto L = Column::left, R = Column::right;

bool stands(const DayInput &input) {
  return std::any_of(input.activities.begin(), input.activities.end(), [](const ReportInput &a) {
    return a.activity.activity.name == "standing" && a.activity.hours_per_day > 0;
  });
}

std::string day_part(const DayInput &input) {
  TextTable table({"activity", "h", "steps of this foot", "force, N", "force, body weights"},
                  {L, R, R, R, R});
  double hours = 0;
  std::vector<std::string> still;
  for (const ReportInput &a : input.activities) {
    const DayActivity &d = a.activity;
    table.add({one_line(d.words()), fixed(d.hours_per_day, 2), fixed(d.cycles()),
               fixed(vertical_force(d, a.foot.body_mass_kg)), fixed(d.activity.force_bw, 2)});
    hours += d.hours_per_day;
    if (const std::string idle = idle_words(d); !idle.empty())
      still.push_back("\"" + one_line(d.words()) + "\" (" + idle + ")");
  }
  table.add({"together", fixed(hours, 2), fixed(input.cycles()), "", ""});
  std::string text =
      heading("Day") + table.markdown() +
      "\nSteps of this foot are half of all steps. Body weights are of body and carried load together.\n";
  for (std::size_t i = 0; i < input.activities.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      if (same_loads(input.activities[i].activity, input.activities[k].activity)) {
        text += wrapped("\"" + one_line(input.activities[i].activity.words()) + "\" loads the foot as \"" +
                            one_line(input.activities[k].activity.words()) +
                            "\" does: solved once, the results are the same.",
                        110) +
                "\n";
        break;
      }
  if (input.activities.size() > still.size() + 1)
    text +=
        wrapped(
            "The day's sum adds up damage spot by spot round the bone, of what each activity strains there, "
            "and takes the spot that is damaged most. The tables of each activity have the places and sides "
            "of its peaks.",
            110) +
        "\n";
  if (!still.empty())
    text += wrapped(list_of(still) + (still.size() == 1 ? " adds" : " add") +
                        " no load cycles: solved and shown below, but not in the day's sum." +
                        (stands(input) ? " What standing long does to tissue and bone is not in this figure."
                                       : ""),
                    110) +
            "\n";
  return text;
}

std::string percent_range(const DayStrain &now, const DayStrain &before) {
  if (!now.known || !before.known)
    return "-";
  const std::array<Banded, n_laws> percent = percent_changes(now, before);
  const auto [low, high] = std::minmax_element(
      percent.begin(), percent.end(), [](const Banded &a, const Banded &b) { return a.value < b.value; });
  const std::string from = signed_fixed(low->value, 1), to = signed_fixed(high->value, 1);
  return (from == to ? from : from + " to " + to) + " ± " + band_text(largest_band(percent), 1);
}

std::string name_of(const DayInput &input, const DayDesign &d) {
  return design_name(input.common(), d.place) +
         (d.place == reference_place(input.common()) ? " (reference)" : "");
}

std::vector<std::string> exponent_heads(std::vector<std::string> before) {
  for (const FatigueLaw &law : fatigue_laws)
    before.push_back("m " + fixed(law.exponent, 1));
  return before;
}

std::string ranking_part(const DayInput &input, const DayRanking &day) {
  std::vector<std::string> heads = exponent_heads({"rank", "letter", "design"});
  heads.push_back("to reference, %");
  heads.push_back("support's effect, %");
  TextTable table(heads, {L, L, L, R, R, R, R, R, R});
  const std::size_t reference = reference_place(input.common());
  for (const DayDesign &d : day.designs) {
    if (!d.with.known) {
      table.add({"-", design_letter(d.place), name_of(input, d), "-", "-", "-", "-", "not ranked", "-"});
      continue;
    }
    std::vector<std::string> cells = {rank_words(d.best_rank, d.worst_rank), design_letter(d.place),
                                      name_of(input, d)};
    for (const Banded &strain : d.with.strain)
      cells.push_back(banded(strain));
    cells.push_back(
        d.place == reference ? "0" : percent_range(d.with, day.of(reference_place(input.common())).with));
    cells.push_back(input.common().outcomes[d.place].has_support() ? percent_range(d.with, d.without) : "-");
    table.add(cells);
  }
  std::string text = heading("Whole-day ranking by ray " + std::to_string(input.common().foot.painful_ray));
  text +=
      wrapped(
          "Day-equivalent strain in ue: the range of strain that does the same fatigue damage to the worst "
          "spot of the bone when every step of "
          "the day has it (damage is added up spot by spot), for four published exponents m of bone fatigue; "
          "value ± discretisation band (all "
          "activities' bands taken together). A rank \"1 to 2\" means that mesh or exponent leaves the order "
          "open. Letter: the design on the pictures. Percentages: least to largest over the four exponents ± "
          "the largest of their discretisation "
          "bands.",
          110) +
      "\n\n" + table.markdown();
  if (const std::string order = order_words(input, day); !order.empty())
    text += "\n" + wrapped(order, 110) + "\n";
  return text;
}

std::string life_part(const DayInput &input, const DayRanking &day) {
  TextTable table(exponent_heads({"design"}), {L, R, R, R, R});
  const DayStrain &reference = day.of(reference_place(input.common())).with;
  for (const DayDesign &d : day.designs) {
    std::vector<std::string> cells = {name_of(input, d)};
    for (std::size_t l = 0; l < n_laws; ++l)
      cells.push_back(
          d.with.known && reference.known
              ? life_words(life_ratio(reference.strain[l], d.with.strain[l], fatigue_laws[l].exponent))
              : "-");
    table.add(cells);
  }
  const std::string failed = reference.known ? ""
                                             : "The reference did not converge in every activity that adds "
                                               "load cycles, so there is nothing to compare with. ";
  return heading("Life against the reference") + table.markdown() + "\n" +
         wrapped(
             failed +
                 std::string("How many times the reference's days until the same damage sum: (reference / "
                             "design)^m of the "
                             "day-equivalent strains; in brackets what the bands leave open. ") +
                 life_caution,
             110) +
         "\n";
}

std::string share_part(const DayInput &input, const DayRanking &day) {
  std::vector<std::string> heads = {"design"};
  std::vector<Column> sides = {L};
  std::vector<std::size_t> walked;
  for (std::size_t i = 0; i < input.activities.size(); ++i)
    if (input.activities[i].activity.cycles() > 0) {
      walked.push_back(i);
      heads.push_back(one_line(input.activities[i].activity.name));
      sides.push_back(R);
    }
  TextTable table(heads, sides);
  for (const DayDesign &d : day.designs) {
    std::vector<std::string> cells = {name_of(input, d)};
    for (const std::size_t i : walked) {
      std::array<double, n_laws> percent{};
      for (std::size_t l = 0; d.with.known && l < n_laws; ++l)
        percent[l] = 100 * d.with.share[l][i];
      cells.push_back(d.with.known ? range_words(percent) : "-");
    }
    table.add(cells);
  }
  return heading("Share of the day's damage by activity, %") + table.markdown() +
         "\nOf the sum of steps times strain^m; least and largest over the four exponents.\n";
}

std::string exponent_part() {
  std::string text = heading("The exponents");
  for (const FatigueLaw &law : fatigue_laws)
    text += item("m = " + fixed(law.exponent, 1) + ": " + law.source + ".");
  return text;
}

std::string activity_part(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  std::string text = heading("Activity: " + one_line(input.activity.words()));
  text += activity_words(input) + "\n" + answer_part(answer(input, ranking)) + "\n" +
          ranking_table(input, ranking);
  text += by_ray_tables(input, ranking);
  std::string shifts;
  for (const RankedDesign &d : ranking)
    if (d.from_unsupported)
      shifts += item(design_name(input, d.place) + ": with its support elements " +
                     load_words(*d.from_unsupported));
    else if (d.from_reference)
      shifts +=
          item(design_name(input, d.place) + ": against the reference " + load_words(*d.from_reference));
  return shifts.empty() ? text : text + "\n" + shifts;
}

} // namespace

std::string day_summary(const DayInput &input, const DayRanking &day, const std::vector<std::string> &files) {
  const ReportInput &common = input.common();
  return opening_words(common, "Answer for the whole day", day_answer(input, day)) + patient_words(common) +
         day_part(input) + changes_part(common) + ranking_part(input, day) +
         (common.sure ? sure_part(common, false) : "") + warnings_part(day_warnings(input, day)) +
         caution_words() + files_in_short(files);
}

std::string day_details(const DayInput &input, const DayRanking &day,
                        const std::vector<std::vector<RankedDesign>> &rankings,
                        const std::vector<std::string> &files) {
  const ReportInput &common = input.common();
  std::string text = opening_words(common, "Answer for the whole day", day_answer(input, day));
  text += patient_words(common) + day_part(input) + designs_part(common) + changes_part(common) +
          ranking_part(input, day) + (common.sure ? sure_part(common, true) : "") + life_part(input, day) +
          share_part(input, day) + exponent_part();

  text += warnings_part(day_warnings(input, day));

  text += heading("Activity by activity") + ranking_note(common.foot) +
          wrapped("Every number of every ray and design is in rays.csv, how much each changed in "
                  "changes.csv, along the shafts in "
                  "shaft.csv.",
                  110) +
          "\n";
  TablesHeld held{true, false, false, false};
  for (std::size_t i = 0; i < input.activities.size(); ++i) {
    text += activity_part(input.activities[i], rankings[i]);
    held.rays |= has_ray_tables(input.activities[i]);
    held.course |= has_course(input.activities[i]);
    held.changes |= !change_table(input.activities[i], rankings[i]).empty();
  }
  text += meaning_words(held) + caution_words();
  std::vector<const ReportInput *> activities;
  for (const ReportInput &a : input.activities)
    activities.push_back(&a);
  return text + files_part(files) + lab_part(activities);
}

} // namespace raybend
