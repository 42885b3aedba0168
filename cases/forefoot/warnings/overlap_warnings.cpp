// Warnings of support elements of one design that lie in the same place.
#include "cases/forefoot/warnings/overlap_warnings.hpp"
#include "cases/catalogue/support_kinds.hpp"
#include "cases/words/words.hpp"
#include "geometry/insole_shape.hpp"
#include "geometry/over_plan.hpp"
#include <algorithm>
#include <functional>

namespace raybend {

namespace {

constexpr double noticeable_mm = 0.2; // rise or tilt of an element that counts as being there, assumed

using Places = std::vector<std::size_t>; // of support elements in their design

/// "pad", "arch fill", "region"
std::string noun(const SupportKind kind) {
  return kind == SupportKind::arch_fill  ? "arch fill"
         : kind == SupportKind::hardness ? "region"
                                         : support_kind(kind).name;
}

/// One design of a case on its foot.
struct Looked {
  const Design &design;
  std::string place; ///< designs[2]
  const InsoleShape &insole;
  ReadingLog &log;

  const SupportElement &element(const std::size_t i) const { return design.support[i]; }
  std::string key(const std::size_t i) const {
    return place + ".support[" + std::to_string(i + 1) + "].kind";
  }
  /// "pad (line 55)"
  std::string words(const std::size_t i, const std::string &size = "") const {
    const auto line = log.lines.find(key(i));
    return noun(element(i).kind) + size + " (" +
           (line == log.lines.end() ? "support[" + std::to_string(i + 1) + "]"
                                    : "line " + std::to_string(line->second)) +
           ")";
  }
  /// "pad (line 55), pad (line 57) and bar (line 59)"
  std::string list(const Places &places, const std::function<std::string(std::size_t)> &size) const {
    std::string out;
    for (const std::size_t i : places)
      out += (out.empty() ? "" : i == places.back() ? " and " : ", ") + words(i, size(i));
    return out;
  }
  std::string list(const Places &places) const {
    return list(places, [](std::size_t) { return std::string(); });
  }
  void warn(const std::size_t i, const std::string &text) const {
    log.warn(key(i), design.name + ": " + text);
  }
  /// Usual values of a number of the element's kind.
  const Range &usual(const std::size_t i, const std::string &name) const {
    return *catalogue_row("designs[].support[" + support_kind(element(i).kind).name + "]." + name)
                .published_for(0);
  }
};

void warn_of_repeats(const Looked &d) {
  for (std::size_t i = 1; i < d.design.support.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      if (same_numbers(d.element(k), d.element(i))) {
        const SupportKind kind = d.element(i).kind;
        d.warn(i, "the same as the " + d.words(k) +
                      (raises(kind)                 ? "; both count, one on the other"
                       : kind == SupportKind::wedge ? "; both count, their angles add up"
                                                    : "; it changes nothing more"));
        break;
      }
}

/// Where what raises the top is highest above what is usual for one of those that lie there.
void warn_of_stacks(const Looked &d) {
  double most = 0, limit_there = 0;
  Places there;
  over_plan([&](const double s, const double b) {
    double sum = 0, limit = 0;
    Places here;
    for (std::size_t i = 0; i < d.design.support.size(); ++i)
      if (raises(d.element(i).kind)) {
        const double rise = d.insole.rise_by(i, s, b);
        sum += rise;
        if (rise > noticeable_mm) {
          here.push_back(i);
          limit = std::max(limit, d.usual(i, "height_mm").high);
        }
      }
    if (here.size() > 1 && sum > limit && sum > most) {
      most = sum;
      limit_there = limit;
      there = here;
    }
  });
  if (!there.empty())
    d.warn(there.back(), d.list(there) + " lie on one another and raise the top by up to " +
                             number_text(most, 3) + " mm together; for one alone up to " +
                             number_text(limit_there) + " mm are usual");
}

void warn_of_wedges(const Looked &d) {
  Places wedges;
  double sum = 0, least = 0, largest = 0;
  for (std::size_t i = 0; i < d.design.support.size(); ++i)
    if (const SupportElement &e = d.element(i); e.kind == SupportKind::wedge) {
      wedges.push_back(i);
      sum += e.angle_deg;
      least = std::min(least, e.angle_deg);
      largest = std::max(largest, e.angle_deg);
    }
  if (wedges.size() < 2)
    return;
  const std::string words = d.list(
      wedges, [&d](const std::size_t i) { return " of " + number_text(d.element(i).angle_deg) + " deg"; });
  const std::string together = number_text(sum) + " deg together";
  if (const Range &usual = d.usual(wedges.front(), "angle_deg"); least < 0 && largest > 0)
    d.warn(wedges.back(), words + " tilt against each other: " + together);
  else if (!usual.holds(sum))
    d.warn(wedges.back(), words + " add up to " + together + "; " + number_text(usual.low) + " to " +
                              number_text(usual.high) + " deg are usual");
}

/// Regions of unlike hardness: which one counts where they overlap.
void warn_of_regions(const Looked &d) {
  for (std::size_t i = 1; i < d.design.support.size(); ++i)
    for (std::size_t k = 0; k < i; ++k) {
      const SupportElement &first = d.element(k), &second = d.element(i);
      if (first.kind != SupportKind::hardness || second.kind != SupportKind::hardness ||
          softness_rank(first.material) == softness_rank(second.material))
        continue;
      bool overlap = false;
      over_plan([&](const double s, const double b) {
        overlap = overlap || (d.insole.covers(k, s, b) && d.insole.covers(i, s, b));
      });
      if (!overlap)
        continue;
      const std::size_t counts = counts_over(first, second) ? k : i, other = counts == k ? i : k;
      const bool one_size = first.length * first.width == second.length * second.width;
      d.warn(i, "regions of another hardness overlap; where both lie, the " +
                    std::string(one_size ? "softer" : "smaller") + " one counts: " + d.words(counts) + ", " +
                    d.element(counts).material.name + ", not " + d.words(other) + ", " +
                    d.element(other).material.name);
    }
}

} // namespace

void warn_of_overlaps(const Case &c, ReadingLog &log) {
  const FootShape shape(c.foot);
  for (std::size_t i = 0; i < c.designs.size(); ++i) {
    if (c.designs[i].support.size() < 2)
      continue;
    const InsoleShape insole(c.designs[i], shape);
    const Looked d = {c.designs[i], "designs[" + std::to_string(i + 1) + "]", insole, log};
    warn_of_repeats(d);
    warn_of_stacks(d);
    warn_of_wedges(d);
    warn_of_regions(d);
  }
}

} // namespace raybend
