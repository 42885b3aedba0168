// What a beam file asked for, in words.
#include "postprocess/lab/beam_words.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

std::string short_number(const double x, const int digits) {
  if (!std::isfinite(x))
    return "-";
  if (x == 0)
    return "0";
  const int before = static_cast<int>(std::floor(std::log10(std::abs(x)))) + 1;
  return before > 7 || before < -6 ? exact(x) : fixed(x, std::clamp(digits - before, 0, 9));
}

std::string plain_number(const double x) {
  return exact(std::round(x * 1e6) / 1e6 + 0.0);
}

namespace {

std::string vector_words(const Vec3 &v, const std::string &unit) {
  std::string out;
  const double size = norm(v);
  for (int i = 0; i < 3; ++i)
    if (std::abs(v[i]) > 1e-9 * size)
      out += (out.empty() ? "" : ", ") + short_number(v[i]) + " " + unit + " along " + axis_name[i];
  return out;
}

std::string load_words(const Vec3 &v, const BeamLoad &l) {
  const char *unit = l.kind == LoadKindOfBeam::moment        ? "N mm"
                     : l.kind == LoadKindOfBeam::distributed ? "N/mm"
                                                             : "N";
  return norm(v) == 0 ? std::string("0 ") + unit : vector_words(v, unit);
}

std::string size_words(const SectionForm &s, const SectionSize &d) {
  const auto n = plain_number;
  switch (s.shape) {
  case SectionShape::rectangle:
    return n(d.width) + " x " + n(d.depth) + " mm";
  case SectionShape::circle:
    return "diameter " + n(d.width) + " mm";
  case SectionShape::ellipse:
    return n(d.width) + " x " + n(d.depth) + " mm";
  case SectionShape::tube:
    return "diameter " + n(d.width) + " mm outside, " + n(d.inner_width) + " mm inside";
  case SectionShape::elliptic_tube:
    return n(d.width) + " x " + n(d.depth) + " mm outside, " + n(d.inner_width) + " x " + n(d.inner_depth) +
           " mm inside";
  case SectionShape::z_section:
    return "flanges " + n(d.width) + " mm, depth " + n(d.depth) + " mm, thickness " + n(s.thickness) + " mm";
  case SectionShape::layered:
    return "width " + n(d.width) + " mm, layers " + n(s.bottom_depth) + " mm below and " +
           n(d.depth - s.bottom_depth) + " mm above";
  }
  return "";
}

const char *shape_words(const SectionShape shape) {
  constexpr const char *words[] = {"rectangle",     "circle",    "ellipse",   "tube",
                                   "elliptic tube", "Z section", "two layers"};
  return words[static_cast<int>(shape)];
}

bool same(const SectionSize &a, const SectionSize &b) {
  return a.width == b.width && a.depth == b.depth && a.inner_width == b.inner_width &&
         a.inner_depth == b.inner_depth;
}

std::string kind_words(const BeamSupport &s) {
  switch (s.kind) {
  case HoldKind::clamped:
    return "clamped (whole face)";
  case HoldKind::soft_clamped:
    return "clamped, free to swell";
  case HoldKind::pinned:
    return "pinned";
  case HoldKind::roller:
    return std::string("roller, holds along ") + axis_name[s.axis];
  case HoldKind::unilateral:
    return std::string("pushes along ") + (s.sign > 0 ? "+" : "-") + axis_name[s.axis] + " only";
  case HoldKind::spring:
    return std::string("spring along ") + axis_name[s.axis] + ", " + plain_number(s.stiffness) + " N/mm";
  }
  return "";
}

} // namespace

std::string hold_words(const BeamSupport &s) {
  return kind_words(s) + (s.settlement == 0 ? "" : ", moved by " + plain_number(s.settlement) + " mm");
}

std::string what_was_asked(const BeamReport &r) {
  const Beam &b = r.beam;
  std::string axis = "Length " + plain_number(b.length) + " mm, " +
                     (b.radius == 0 ? std::string("straight") : "radius " + plain_number(b.radius) + " mm") +
                     ". ";
  axis +=
      std::string("Section: ") + shape_words(b.section.shape) + ", " + size_words(b.section, b.section.start);
  if (!same(b.section.start, b.section.end))
    axis += " at the start, " + size_words(b.section, b.section.end) + " at the far end";
  for (const SectionStep &step : b.section.steps)
    axis += ", from x = " + plain_number(step.at) + " mm on " + size_words(b.section, step.size);
  axis += ". E " + plain_number(b.material.e) + " MPa, nu " + plain_number(b.material.nu);
  if (b.section.shape == SectionShape::layered)
    axis += " below; E " + plain_number(b.top_material.e) + " MPa, nu " + plain_number(b.top_material.nu) +
            " above";
  axis +=
      std::string(". ") + (b.finite_strain ? "Finite strain, loads keep their direction." : "Small strain.");
  std::string out = wrapped(axis) + "\n\n";
  for (const BeamLoad &l : b.loads) {
    const bool line = l.kind == LoadKindOfBeam::distributed, couple = l.kind == LoadKindOfBeam::moment;
    out +=
        "- load " +
        (line ? "x = " + plain_number(l.from) + " to " + plain_number(l.to) : "x = " + plain_number(l.from)) +
        " mm: " + (couple ? "moment " : "") +
        (l.from_share == l.to_share
             ? load_words(l.vector, l)
             : load_words(l.from_share * l.vector, l) + " to " + load_words(l.to_share * l.vector, l)) +
        "\n";
  }
  if (b.temperature.rise != 0)
    out += "- warmed by " + plain_number(b.temperature.rise) + " K at half the depth\n";
  if (b.temperature.top_less_bottom != 0)
    out += "- top warmer than bottom by " + plain_number(b.temperature.top_less_bottom) + " K\n";
  for (const BeamFoundation &f : b.foundations)
    out += "- elastic foundation x = " + plain_number(f.from) + " to " + plain_number(f.to) +
           " mm: " + plain_number(f.modulus) + " N/mm per mm\n";
  return out;
}

} // namespace raybend
