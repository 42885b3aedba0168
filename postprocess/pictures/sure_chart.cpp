// Rank chances in greys from first to last, and changes with their doubt.
#include "postprocess/pictures/sure_chart.hpp"
#include "postprocess/canvas/axes.hpp"
#include "postprocess/pictures/design_lines.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/words/picture_words.hpp"
#include "postprocess/words/sure_words.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

constexpr Colour ink = {30, 30, 30}, white = {255, 255, 255};

Colour rank_grey(const std::size_t rank, const std::size_t ranks) {
  const auto g = static_cast<unsigned char>(70 + 165 * rank / std::max<std::size_t>(1, ranks - 1));
  return {g, g, g};
}

void rank_bar(Painter &p, const Axes &axes, const std::vector<double> &chances, const std::size_t ranks,
              const double y, const double h) {
  double sum = 0;
  for (std::size_t r = 0; r < ranks; ++r) {
    const double from = axes.px(100 * sum), to = axes.px(100 * (sum += chances[r]));
    p.box(from, y, to - from, h, rank_grey(r, ranks), Stroke{white, 1, {}});
    if (to - from > 46)
      p.text({(from + to) / 2, y + h / 2}, std::to_string(r + 1) + ".: " + fixed(100 * chances[r]),
             {13, Align::centre, 2 * r < ranks ? white : ink});
  }
}

/// Median with nine in ten, and below it the two deviations to both sides that each source makes alone.
void change_marks(Painter &p, const Axes &axes, const PairChance &c, const double y,
                  const std::size_t design) {
  const auto at = [&](double percent) { return axes.px(std::clamp(percent, axes.x_low, axes.x_high)); };
  p.line({at(c.low), y}, {at(c.high), y}, {ink, 2, {}});
  for (const double end : {c.low, c.high})
    p.line({at(end), y - 5}, {at(end), y + 5}, {ink, 2, {}});
  p.marker(design_marker(design), {at(c.median), y}, 12, design_colour(design));
  const std::pair<const char *, double> sources[] = {
      {"person", c.person}, {"model", c.model}, {"mesh", c.mesh}};
  double below = y - 15;
  for (const auto &[name, deviation] : sources) {
    const auto end = [&](double side) { // deviations are of ln(strain over the reference's)
      return at(100 * std::expm1(std::log1p(c.median / 100) + side * 1.645 * deviation / 100));
    };
    p.line({end(-1), below}, {end(1), below}, {{120, 120, 120}, 2, {}});
    p.text({axes.x + axes.w - 4, below}, name, {11, Align::right, {90, 90, 90}});
    below -= 11;
  }
}

} // namespace

Drawing sure_chart(const ReportInput &input) {
  return [&input](Painter &p) {
    const Sureness &sure = *input.sure;
    const std::size_t reference = reference_place(input), first = sure.order.front();
    const std::string title =
        lettered_name(input, first) + " strains ray " + std::to_string(input.foot.painful_ray) +
        " less than " + lettered_name(input, sure.order[1]) + " for " +
        chance_words(sure.pair(first, sure.order[1]).less) + " feet that fit this patient";
    p.title({30, p.height() - 28}, title, p.width() - 60);
    const double top = p.height() - 110, row = std::min(120.0, (top - 90) / sure.order.size());
    p.text({30, p.height() - 66}, "Chance of every place, in 100 feet", {14, Align::left, ink, true});
    const Axes ranks{220, 70, 400, top - 70, 0, 100, 0, 1};
    ranks.x_ticks(p, {0, 25, 50, 75, 100}, 13);
    double low = -1, high = 1;
    for (const std::size_t d : sure.order)
      if (d != reference) {
        const PairChance c = sure.pair(d, reference);
        low = std::min(low, c.low);
        high = std::max(high, c.high);
      }
    const Axes changes{
        680, 70, p.width() - 720, top - 70, low - 0.06 * (high - low), high + 0.16 * (high - low), 0, 1};
    p.text({680, p.height() - 66}, "Change of its strain against the reference, %: median and nine in ten",
           {14, Align::left, ink, true});
    p.text({680, p.height() - 86}, "grey: nine in ten by each source of doubt alone", {13});
    changes.x_ticks(p, round_ticks(changes.x_low, changes.x_high, 6), 13);
    changes.frame(p);
    p.line({changes.px(0), changes.y}, {changes.px(0), changes.y + changes.h}, {ink, 1, {4, 3}});
    for (std::size_t k = 0; k < sure.order.size(); ++k) {
      const std::size_t d = sure.order[k];
      const double middle = top - row * (k + 0.5);
      double y = middle + 8;
      for (const std::string &line : design_lines(p, input, d, 180, 3, {14})) {
        p.text({30, y}, line, {14});
        y -= 17;
      }
      rank_bar(p, ranks, sure.rank[d], sure.order.size(), middle - 15, 30);
      if (d == reference)
        p.text({changes.px(0) + 8, middle}, "reference", {13});
      else
        change_marks(p, changes, sure.pair(d, reference), middle + 14, d);
    }
  };
}

} // namespace raybend
