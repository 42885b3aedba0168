// Chances of every rank as a table and as bars of grey, from first to last.
#include "postprocess/page/sure_section.hpp"
#include "postprocess/page/drawings/svg.hpp"
#include "postprocess/page/page_parts.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/words/summary_parts.hpp"
#include "postprocess/words/sure_words.hpp"

namespace raybend {

namespace {

/// A bar a design, cut into its chances of every rank; dark is first.
std::string rank_bars(const ReportInput &input) {
  const Sureness &sure = *input.sure;
  const double left = 9, width = 240, row = 8, height = row * sure.order.size() + 8;
  std::string svg =
      "<svg class=\"bars\" role=\"img\" aria-label=\"Chances of every rank\" viewBox=\"0 0 256 " +
      fixed(height, 0) + "\">";
  for (std::size_t k = 0; k < sure.order.size(); ++k) {
    const std::size_t d = sure.order[k];
    const double y = row * k + 1;
    svg += svg_text({left - 2, y + 4.4}, std::string(1, static_cast<char>('A' + d)), 4, "end",
                    "font-weight=\"bold\"");
    double x = left;
    const std::vector<double> &chances = sure.rank[d];
    for (std::size_t r = 0; r < chances.size(); ++r) {
      const double w = width * chances[r];
      const int grey = 70 + static_cast<int>(160 * r / std::max<std::size_t>(1, chances.size() - 1));
      const std::string fill =
          "rgb(" + std::to_string(grey) + "," + std::to_string(grey) + "," + std::to_string(grey) + ")";
      svg += svg_shape(svg_path({{x, y}, {x + w, y}, {x + w, y + 6}, {x, y + 6}}, true),
                       "fill=\"" + fill + "\" stroke=\"#fff\" stroke-width=\"0.3\"");
      if (w > 9)
        svg += svg_text({x + w / 2, y + 4.2}, std::to_string(r + 1) + ".: " + fixed(100 * chances[r]), 3,
                        "middle", grey < 140 ? "fill=\"#fff\"" : "fill=\"#000\"");
      x += w;
    }
  }
  for (const int percent : {0, 25, 50, 75, 100})
    svg += svg_text({left + width * percent / 100, height - 2}, std::to_string(percent), 3, "middle");
  return svg + "</svg>\n";
}

} // namespace

std::string sure_section(const ReportInput &input, const PageNumbers &numbers) {
  if (!input.sure)
    return "";
  const Sureness &sure = *input.sure;
  const std::string note = "<p class=\"quiet\">" + escaped(sure_note(sure)) + "</p>\n";
  const std::string model = model_sentence(input);
  if (!sure.why_not.empty())
    return page_section("sure", "How sure", note + (model.empty() ? "" : "<p>" + escaped(model) + "</p>\n"));
  const std::size_t reference = reference_place(input);
  std::string text =
      "<p>In 100 feet that fit this patient. By how much: change of strain in ray " +
      std::to_string(input.foot.painful_ray) +
      " against the reference, median and nine in ten. Head pressure, other ray: by more than " +
      fixed(100 * notable_rise) + " % higher than with the reference, under some head, in some ray.</p>\n";
  std::string rows;
  const auto cell = [](const std::string &content) { return "<td class=\"right\">" + content + "</td>"; };
  for (const std::size_t d : sure.order) {
    const std::string key = "/sure/designs/" + std::to_string(d);
    rows += "<tr><th scope=\"row\">" + page_letter(d) + " " + escaped(design_name(input, d)) + "</th>" +
            cell(numbers.value(key + "/rank_percent/0"));
    std::string less = "–", by = "–";
    for (std::size_t i = 0; i < sure.pairs.size(); ++i)
      if (const PairChance &p = sure.pairs[i];
          d != reference && p.a + p.b == d + reference && (p.a == d || p.b == d)) {
        const std::string pair =
            "/sure/pairs/" + std::to_string(2 * i + (p.b == d)); // both ways round in turn
        less = numbers.value(pair + "/less_percent");
        by = numbers.value(pair + "/change_percent", 0, true) + " (" +
             numbers.value(pair + "/change_low_percent", 0, true) + " to " +
             numbers.value(pair + "/change_high_percent", 0, true) + ")";
      }
    rows += cell(less) + cell(by) + cell(numbers.value(key + "/head_pressure_rises_percent")) +
            cell(numbers.value(key + "/other_ray_rises_percent")) + "</tr>\n";
  }
  text += page_table("How sure, in 100 feet",
                     {"Design", "best of all", "less than the reference", "by how much, %",
                      "head pressure up", "other ray up"},
                     rows, 1) +
          "<figure>" + rank_bars(input) +
          "<figcaption>Chance of every place, first to last, in 100 feet.</figcaption></figure>\n";
  for (const std::string &words : {lost_words(input), measure_sentence(input), model})
    if (!words.empty())
      text += "<p>" + escaped(words) + "</p>\n";
  return page_section("sure", "How sure", text + note);
}

} // namespace raybend
