// Ranking, bars of strain and tables of the rays on the page.
#include "postprocess/page/page_parts.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/answer.hpp"
#include "postprocess/words/day_answer.hpp"
#include "postprocess/words/picture_words.hpp"
#include "postprocess/words/summary_parts.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

std::string page_section(const std::string &id, const std::string &heading, const std::string &content,
                         const std::string &classes) {
  return "<section id=\"" + id + "\"" + (classes.empty() ? "" : " class=\"" + classes + "\"") +
         " aria-labelledby=\"" + id + "-heading\">\n<h2 id=\"" + id + "-heading\">" + heading + "</h2>\n" +
         content + "</section>\n";
}

std::string page_list(const std::vector<std::string> &items) {
  std::string text = "<ul>\n";
  for (const std::string &item : items)
    text += "<li>" + item + "</li>\n";
  return text + "</ul>\n";
}

std::string page_letter(const std::size_t place) {
  return "<span class=\"letter c" + std::to_string(place % 6) + "\">" + design_letter(place) + "</span>";
}

std::string page_table(const std::string &label, const std::vector<std::string> &heads,
                       const std::string &rows, const std::size_t words_first) {
  std::string text = "<div class=\"wide\" tabindex=\"0\" role=\"group\" aria-label=\"" + escaped(label) +
                     "\"><table>\n<thead><tr>";
  for (std::size_t i = 0; i < heads.size(); ++i)
    text += std::string("<th scope=\"col\"") + (i >= words_first ? " class=\"right\"" : "") + ">" + heads[i] +
            "</th>";
  return text + "</tr></thead>\n<tbody>\n" + rows + "</tbody></table></div>\n";
}

namespace {

std::string item_key(const std::string &before, const std::size_t i, const std::string &name) {
  return before + "/" + std::to_string(i) + "/" + name;
}

std::string cell(const std::string &content, const bool number = true) {
  return std::string("<td") + (number ? " class=\"right\"" : " class=\"nowrap\"") + ">" + content + "</td>";
}

std::string design_cell(const ReportInput &input, const std::size_t place) {
  return "<th scope=\"row\">" + page_letter(place) + " " + escaped(input.outcomes[place].name_for_people()) +
         (place == reference_place(input) ? " <span class=\"quiet\">reference</span>" : "") + "</th>";
}

/// One bar of a row: full and hollow ones on one scale, and its whisker from `low` to `high` (none where they are alike).
std::string bar(const double value, const double low, const double high, const double top,
                const std::string &classes) {
  const auto at = [top](const double x) { return fixed(100 * std::clamp(x / top, 0.0, 1.0), 2); };
  std::string svg =
      "<svg class=\"bar " + classes +
      "\" viewBox=\"0 0 100 10\" preserveAspectRatio=\"none\" aria-hidden=\"true\"><rect x=\"0\" y=\"1\" "
      "width=\"" +
      at(value) + "\" height=\"8\"/>";
  if (high > low)
    svg +=
        "<path d=\"M" + at(low) + " 5H" + at(high) + "M" + at(low) + " 2.5V7.5M" + at(high) + " 2.5V7.5\"/>";
  return svg + "</svg>";
}

/// What a row of bars holds: with and without support elements.
struct BarRow {
  std::size_t place;
  std::string key, without_key; ///< of the strain; its band has "_band" before "_ue". Empty: no such bar
};

std::string band_key(const std::string &key) {
  return key.substr(0, key.size() - 3) + "_band_ue";
}

/// Ends of a strain's whisker, ue: nine in ten over patient, model and mesh where the row's design is compared with a reference of this
/// strain, otherwise what the mesh leaves open.
std::array<double, 2> whisker(const ReportInput &input, const BarRow &row, const bool with_support,
                              const double reference, const PageNumbers &numbers) {
  const std::string &key = with_support ? row.key : row.without_key;
  if (const auto ends = whole_doubt(input, row.place, reference); with_support && ends)
    return *ends;
  const double value = numbers.number(key), band = std::max(0.0, numbers.number(band_key(key)));
  return {value - band, value + band};
}

std::string bars(const ReportInput &input, const std::vector<BarRow> &rows, const PageNumbers &numbers) {
  double top = 0, reference = std::nan("");
  for (const BarRow &row : rows)
    if (row.place == reference_place(input))
      reference = numbers.number(row.key);
  for (const BarRow &row : rows)
    for (const bool with : {true, false})
      if (const std::string &key = with ? row.key : row.without_key;
          !key.empty() && std::isfinite(numbers.number(key)))
        top = std::max({top, numbers.number(key), whisker(input, row, with, reference, numbers)[1]});
  std::string text = "<div class=\"bars\">\n";
  for (const BarRow &row : rows) {
    text += "<div class=\"bar-name\">" + page_letter(row.place) + " " +
            escaped(input.outcomes[row.place].name_for_people()) + "</div>\n";
    const auto add = [&](const bool with, const std::string &words, const std::string &classes) {
      const std::string &key = with ? row.key : row.without_key;
      const double value = numbers.number(key);
      const std::array<double, 2> ends = whisker(input, row, with, reference, numbers);
      text += "<div class=\"bar-line\"><span class=\"bar-words\">" + words + "</span>" +
              (std::isfinite(value) ? bar(value, ends[0], ends[1], top, classes) : "<span></span>") +
              "<span class=\"bar-number\">" + numbers.banded(key, band_key(key)) + " µε</span></div>\n";
    };
    const std::string colour = "c" + std::to_string(row.place % 6);
    add(true, row.without_key.empty() ? "as it is" : "with support", colour);
    if (!row.without_key.empty())
      add(false, "without", colour + " hollow");
  }
  return text + "</div>\n";
}

} // namespace

std::string ranking_rows(const PageActivity &a, const PageNumbers &numbers) {
  const std::string at = a.key + "/ranking";
  const std::string ray = "/rays/" + std::to_string(a.input.foot.painful_ray - 1) + "/";
  std::string rows;
  for (std::size_t i = 0; i < a.ranking.size(); ++i) {
    const RankedDesign &d = a.ranking[i];
    const auto key = [&](const std::string &name) { return item_key(at, i, name); };
    rows += "<tr>";
    if (!d.ranked) {
      rows += cell("–", false) + design_cell(a.input, d.place) + "<td colspan=\"5\">" + d.why_not +
              "</td></tr>\n";
      continue;
    }
    rows += cell(numbers.value(key("rank_best")) +
                     (d.best_rank == d.worst_rank ? "" : " to " + numbers.value(key("rank_worst"))),
                 false);
    rows += design_cell(a.input, d.place);
    rows += cell(numbers.banded(key("peak_strain_ue"), key("peak_strain_band_ue")));
    rows +=
        cell(side_words(a.input.outcomes[d.place].with.ray[a.input.foot.painful_ray - 1].peak_strain_towards),
             false);
    const std::string result = item_key(a.key + "/designs", d.place, "with_support") + ray;
    rows +=
        cell(numbers.banded(result + "bending_stress_peak_mpa", result + "bending_stress_peak_band_mpa", 1));
    const auto change = [&](const std::optional<Difference> &difference, const std::string &name) {
      return cell(difference ? numbers.banded(key(name + "/peak_strain_change_pct"),
                                              key(name + "/peak_strain_change_band_pct"),
                                              percent_digits(difference->percent), true)
                             : "–");
    };
    rows += change(d.from_reference, "from_reference") + change(d.from_unsupported, "from_without_support") +
            "</tr>\n";
  }
  return page_table("Ranking of the designs",
                    {"Rank", "Design", "Peak strain, µε", "<span class=\"side\">Side</span>", "Bending, MPa",
                     "To reference, %", "Support’s effect, %"},
                    rows);
}

std::string strain_bars(const PageActivity &a, const PageNumbers &numbers) {
  std::vector<BarRow> rows;
  for (const RankedDesign &d : a.ranking) {
    const std::string ray = "/rays/" + std::to_string(a.input.foot.painful_ray - 1) + "/peak_strain_ue";
    const bool support = a.input.outcomes[d.place].has_support();
    rows.push_back({d.place, item_key(a.key + "/designs", d.place, "with_support") + ray,
                    support ? item_key(a.key + "/designs", d.place, "without_support") + ray : ""});
  }
  return bars(a.input, rows, numbers);
}

std::string ray_tables(const PageActivity &a, const PageNumbers &numbers) {
  std::string text;
  for (const RankedDesign &d : a.ranking) {
    const DesignOutcome &o = a.input.outcomes[d.place];
    std::string rows;
    const auto add = [&](const DesignResult &result, const std::string &state, const std::string &words) {
      if (!result.converged)
        return;
      for (int r = 1; r <= 5; ++r) {
        const std::string key =
            item_key(a.key + "/designs", d.place, state) + "/rays/" + std::to_string(r - 1) + "/";
        const auto both = [&](const std::string &name, const std::string &band) {
          return cell(numbers.banded(key + name, key + band));
        };
        rows += "<tr" + std::string(r == a.input.foot.painful_ray ? " class=\"painful\"" : "") +
                "><th scope=\"row\">" + words + "</th>" + cell(std::to_string(r)) +
                both("peak_strain_ue", "peak_strain_band_ue") +
                cell(side_words(result.ray[r - 1].peak_strain_towards), false) +
                cell(numbers.value(key + "peak_strain_at_pct")) +
                cell(numbers.value(key + "strain_dorsal_peak_ue", 0, true)) +
                cell(numbers.value(key + "strain_plantar_peak_ue", 0, true)) +
                cell(numbers.value(key + "moment_peak_n_mm", 0, true)) +
                both("head_force_n", "head_force_band_n") +
                both("head_pressure_peak_kpa", "head_pressure_peak_band_kpa") +
                cell(numbers.value(key + "shaft_force_n")) +
                both("shaft_pressure_peak_kpa", "shaft_pressure_peak_band_kpa") + "</tr>\n";
      }
    };
    add(o.with, "with_support", o.has_support() ? "with" : "no support");
    if (o.has_support())
      add(o.without, "without_support", "without");
    if (!rows.empty())
      text += "<details><summary>" + page_letter(d.place) + " " + escaped(o.name_for_people()) +
              "</summary>\n" +
              page_table("The rays with design " + design_letter(d.place),
                         {"Support", "Ray", "Peak strain, µε", "Side", "At, %", "Dorsal, µε", "Plantar, µε",
                          "Moment, N mm", "Head, N", "Head peak, kPa", "Shaft, N", "Shaft peak, kPa"},
                         rows, 1) +
              "</details>\n";
  }
  return text;
}

std::string day_ranking_rows(const DayInput &input, const DayRanking &day, const PageNumbers &numbers) {
  const ReportInput &common = input.common();
  std::string rows;
  for (std::size_t i = 0; i < day.designs.size(); ++i) {
    const DayDesign &d = day.designs[i];
    const auto key = [&](const std::string &name) { return item_key("/day/ranking", i, name); };
    rows += "<tr>";
    if (!d.with.known) {
      rows += cell("–", false) + design_cell(common, d.place) + "<td colspan=\"5\">not ranked</td></tr>\n";
      continue;
    }
    rows += cell(numbers.value(key("rank_best")) +
                     (d.best_rank == d.worst_rank ? "" : " to " + numbers.value(key("rank_worst"))),
                 false) +
            design_cell(common, d.place);
    for (std::size_t l = 0; l < n_laws; ++l) {
      const std::string at = item_key(key("with_support"), l, "equivalent_strain");
      rows += cell(numbers.banded(at + "_ue", at + "_band_ue"));
    }
    const std::string first = item_key(key("with_support"), 0, "life_ratio_to_reference"),
                      last = item_key(key("with_support"), n_laws - 1, "life_ratio_to_reference");
    rows += cell(numbers.value(first, 2) + " to " + numbers.value(last, 2)) + "</tr>\n";
  }
  std::vector<std::string> heads = {"Rank", "Design"};
  for (const FatigueLaw &law : fatigue_laws)
    heads.push_back("µε at m " + fixed(law.exponent, 1));
  heads.push_back("Life to reference");
  return page_table("Ranking of the designs over the day", heads, rows);
}

std::string day_bars(const DayInput &input, const DayRanking &day, const PageNumbers &numbers) {
  const std::string law = std::to_string(one_law);
  std::vector<BarRow> rows;
  for (std::size_t i = 0; i < day.designs.size(); ++i) {
    const bool support = input.common().outcomes[day.designs[i].place].has_support();
    rows.push_back(
        {day.designs[i].place, item_key("/day/ranking", i, "with_support/" + law + "/equivalent_strain_ue"),
         support ? item_key("/day/ranking", i, "without_support/" + law + "/equivalent_strain_ue") : ""});
  }
  return bars(input.common(), rows, numbers);
}

std::string day_activities(const DayInput &input, const PageNumbers &numbers) {
  std::string rows;
  for (std::size_t i = 0; i < input.activities.size(); ++i) {
    const auto key = [&](const std::string &name) { return item_key("/activities", i, name); };
    rows += "<tr><th scope=\"row\">" + escaped(input.activities[i].activity.words()) + "</th>" +
            cell(numbers.value(key("hours_per_day"), 2)) + cell(numbers.value(key("steps_of_this_foot"))) +
            cell(numbers.value(key("vertical_force_n"))) + cell(numbers.value(key("heel_rise_deg"))) +
            "</tr>\n";
  }
  return page_table("Activities of the day",
                    {"Activity", "h", "Steps of this foot", "Force, N", "Heel rise, °"}, rows, 1);
}

} // namespace raybend
