#include "geometry/beam_cautions.hpp"
#include "geometry/beam_section.hpp"
#include "postprocess/beam_report.hpp"
#include "postprocess/number_text.hpp"
#include "postprocess/summary_parts.hpp"
#include "postprocess/text_table.hpp"
#include <algorithm>
#include <cmath>
#include <limits>

namespace raybend {

namespace {

const char *const axis_name[3] = {"x", "y", "z"};

std::string short_number(const double x, const int digits = 5) {
  if (!std::isfinite(x))
    return "-";
  if (x == 0)
    return "0";
  const int before = static_cast<int>(std::floor(std::log10(std::abs(x)))) + 1;
  return before > 7 || before < -6 ? exact(x) : fixed(x, std::clamp(digits - before, 0, 9));
}

/// 0 instead of what rounding left of it.
double tidy(const double x, const double scale) {
  return std::abs(x) < 1e-7 * scale ? 0 : x;
}

std::string plain_number(const double x) { // as short as it can be: 100, 12.5
  return exact(std::round(x * 1e6) / 1e6 + 0.0);
}

std::string percent(const double part, const double whole) {
  return std::abs(whole) < 1e-300 ? "-" : signed_fixed(100 * (part / whole - 1), 2);
}

std::string vector_words(const Vec3 &v, const std::string &unit) {
  std::string out;
  const double size = norm(v);
  for (int i = 0; i < 3; ++i)
    if (std::abs(v[i]) > 1e-9 * size)
      out += (out.empty() ? "" : ", ") + short_number(v[i]) + " " + unit + " along " + axis_name[i];
  return out;
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

std::string hold_words(const BeamSupport &s) {
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

std::string what_was_asked(const BeamReport &r) {
  const Beam &b = r.beam;
  std::string axis = "Length " + plain_number(b.length) + " mm, " +
                     (b.radius == 0 ? std::string("straight") : "radius " + plain_number(b.radius) + " mm") +
                     ". ";
  axis +=
      std::string("Section: ") + shape_words(b.section.shape) + ", " + size_words(b.section, b.section.start);
  if (!same(b.section.start, b.section.end))
    axis += " at the start, " + size_words(b.section, b.section.end) + " at the far end";
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
        vector_words(l.vector, couple ? "N mm"
                               : line ? "N/mm"
                                      : "N") +
        "\n";
  }
  for (const BeamFoundation &f : b.foundations)
    out += "- elastic foundation x = " + plain_number(f.from) + " to " + plain_number(f.to) +
           " mm: " + plain_number(f.modulus) + " N/mm per mm\n";
  return out;
}

/// Places worth a line: loads, supports, ends and the largest displacement along an axis.
std::vector<double> rows_for(const BeamReport &r, const int axis) {
  std::vector<double> at = {0, r.beam.length};
  for (const BeamLoad &l : r.beam.loads)
    at.insert(at.end(), {l.from, l.to});
  for (const BeamSupport &s : r.beam.supports)
    at.push_back(s.at);
  const auto &all = r.last().stations;
  const auto largest =
      std::max_element(all.begin(), all.end(), [axis](const SolidStation &a, const SolidStation &b) {
        return std::abs(a.u[axis]) < std::abs(b.u[axis]);
      });
  const auto near = [&](const double s) { return std::abs(s - largest->s) < 0.02 * r.beam.length; };
  if (std::none_of(at.begin(), at.end(), near))
    at.push_back(largest->s);
  std::sort(at.begin(), at.end());
  at.erase(std::unique(at.begin(), at.end()), at.end());
  return at;
}

std::string deflections(const BeamReport &r) {
  std::string out;
  double most = 0;
  for (const SolidStation &s : r.last().stations)
    most = std::max({most, norm(s.u), std::abs(s.rotation[0]) * r.beam.section.start.depth});
  for (const int axis : {2, 1, 0}) {
    double here = 0;
    for (const SolidStation &s : r.last().stations)
      here = std::max(here, std::abs(s.u[axis]));
    if (here < 1e-4 * most || here < 1e-12 * r.beam.length)
      continue;
    TextTable table(
        {"x, mm", std::string("3D u_") + axis_name[axis] + ", mm", "± band", "Euler-Bernoulli, mm",
         "Timoshenko, mm", "3D to Timoshenko, %"},
        {Column::right, Column::right, Column::right, Column::right, Column::right, Column::right});
    for (const double s : rows_for(r, axis)) {
      const double t = r.timoshenko.at(s).u[axis], e = r.euler.at(s).u[axis],
                   u = r.last().displacement(s)[axis];
      const bool small = std::abs(u) < 1e-3 * here;
      table.add({plain_number(s), small ? "0" : short_number(u),
                 short_number(tidy(std::abs(r.band(s, axis)), 100 * here), 2), short_number(tidy(e, here)),
                 short_number(tidy(t, here)), small ? "-" : percent(u, t)});
    }
    out += table.markdown() + "\n";
  }
  return out;
}

/// Twist of a straight beam, where torque or unsymmetry makes one.
std::string twists(const BeamReport &r) {
  double most = 0;
  for (const FrameStation &s : r.timoshenko.stations)
    most = std::max(most, std::abs(s.rotation[0]));
  if (r.beam.radius != 0 || most < 1e-12)
    return "";
  TextTable table({"x, mm", "3D twist, rad", "± band", "torsion theory, rad", "3D to theory, %"},
                  std::vector<Column>(5, Column::right));
  for (const SolidStation *s : {&r.last().at(0), &r.last().at(r.beam.length)}) {
    const double theory = r.timoshenko.at(s->s).rotation[0], here = s->rotation[0];
    const double before = r.levels.size() > 1 ? r.levels[r.levels.size() - 2].at(s->s).rotation[0]
                                              : std::numeric_limits<double>::quiet_NaN();
    const bool small = std::abs(here) < 1e-3 * most;
    table.add({plain_number(s->s), small ? "0" : short_number(here),
               short_number(tidy(std::abs(here - before), 100 * most), 2), short_number(tidy(theory, most)),
               small ? "-" : percent(here, theory)});
  }
  return table.markdown() + "\n";
}

std::string reactions(const BeamReport &r) {
  if (r.beam.supports.empty())
    return "";
  TextTable table(
      {"support", "x, mm", "kind", "3D force x, y, z, N", "Timoshenko, N", "3D moment x, y, z, N mm"},
      {Column::right, Column::right, Column::left, Column::left, Column::left, Column::left});
  const auto three = [](const Vec3 &v, const double zero) {
    std::string out;
    for (int i = 0; i < 3; ++i)
      out += (i ? "  " : "") + (std::abs(v[i]) < zero ? "0" : short_number(v[i]));
    return out;
  };
  double force = 0, moment = 0; // below them a number is what rounding left
  for (const Vec3 &f : r.last().force)
    force = std::max(force, 1e-5 * norm(f));
  for (const Vec3 &m : r.last().moment)
    moment = std::max(moment, 1e-5 * norm(m));
  force = std::max(force, moment / r.beam.length);
  moment = std::max(moment, force * 0.1);
  for (std::size_t i = 0; i < r.beam.supports.size(); ++i) {
    const BeamSupport &s = r.beam.supports[i];
    const bool holds_moment = s.kind == HoldKind::clamped || s.kind == HoldKind::soft_clamped;
    table.add({std::to_string(i + 1), plain_number(s.at), hold_words(s),
               r.last().touching[i] ? three(r.last().force[i], force) : "lifted off",
               r.timoshenko.touching[i] ? three(r.timoshenko.force[i], force) : "lifted off",
               holds_moment ? three(r.last().moment[i], moment) : "-"});
  }
  return "## Reactions on the beam\n\n" + table.markdown() + "\n";
}

std::string stresses(const BeamReport &r) {
  std::string out = "## Largest axial stress\n\n";
  const BeamStress *most = nullptr;
  double floor = 0; // bending that rounding makes
  for (const SolidStation &s : r.last().stations)
    floor = std::max({floor, norm(s.moment), norm(s.force) * r.beam.section.start.depth});
  floor *= 1e-6 * r.beam.section.start.depth * r.beam.material.e / section_stiffness(r.beam, 0).eiy;
  for (const BeamStress &s : r.stresses)
    if (s.clear && std::abs(s.navier) > floor && (!most || std::abs(s.solid) > std::abs(most->solid)))
      most = &s;
  if (!most)
    return out + "No bending a depth away from every load, support and end: there is nothing to set against "
                 "Navier.\n\n";
  TextTable table({"x, mm", "y, mm", "z, mm", "3D, MPa", "± band", "Navier, MPa", "difference, %"},
                  std::vector<Column>(7, Column::right));
  const double size = r.beam.section.start.depth;
  table.add({plain_number(most->s), short_number(tidy(most->y, size), 4),
             short_number(tidy(most->z, size), 4), short_number(most->solid),
             short_number(tidy(std::abs(most->solid - most->before), 100 * std::abs(most->solid)), 2),
             short_number(most->navier), percent(most->solid, most->navier)});
  return out + table.markdown() + "\n" +
         wrapped("At the outline, a depth or more away from loads, supports and ends. y and z count from the "
                 "elastic "
                 "centroid.") +
         "\n\n";
}

std::string equilibrium(const BeamReport &r) {
  double force = 0, moment = 0, most_force = 1e-300, most_moment = 1e-300;
  for (const SolidStation &s : r.last().stations) {
    force = std::max(force, norm(s.force - s.statics_force));
    moment = std::max(moment, norm(s.moment - s.statics_moment));
    most_force = std::max(most_force, norm(s.statics_force));
    most_moment = std::max(most_moment, norm(s.statics_moment));
  }
  most_force = std::max(most_force, most_moment / r.beam.length);
  const auto part = [](const double gap, const double most) {
    char text[32];
    std::snprintf(text, sizeof text, "%.0e", gap / std::max(most, 1e-12));
    return std::string(text);
  };
  return wrapped("Equilibrium: section forces integrated over the cells against statics of loads and "
                 "reactions differ by at "
                 "most " +
                 part(force, most_force) + " of the largest force and " + part(moment, most_moment) +
                 " of the largest moment.") +
         "\n\n";
}

/// A heading with its list; "" of nothing.
std::string list_part(const std::string &words, const std::vector<std::string> &list) {
  if (list.empty())
    return "";
  std::string out = "## " + words + "\n\n";
  for (const std::string &w : list)
    out += "- " + wrapped(one_line(w), 100, "  ") + "\n";
  return out + "\n";
}

} // namespace

double BeamReport::band(const double s, const int component) const {
  if (levels.size() < 2)
    return std::numeric_limits<double>::quiet_NaN();
  return last().displacement(s)[component] - levels[levels.size() - 2].displacement(s)[component];
}

std::string beam_summary(const BeamReport &r, const std::vector<std::string> &files) {
  std::string out = title_words(r.beam.title, r.date) + "\n";
  if (!r.beam.note.empty())
    out += wrapped(one_line(r.beam.note)) + "\n\n";
  out += what_was_asked(r) + "\n## Deflection\n\n" + deflections(r) + twists(r);
  out += wrapped("3D: mean of the section, 27-node hexahedra, " + std::to_string(r.last().unknowns) +
                 " unknowns; band: change from the mesh before. Theory is not the 3D solution: a difference "
                 "beyond the band "
                 "is the theory's own.") +
         "\n\n";
  out += list_part("Warnings", r.warnings) + list_part("Where theory does not hold", r.beyond_theory);
  out += stresses(r) + reactions(r) + equilibrium(r);
  out += "## Cautions\n\n";
  for (const char *c : beam_cautions)
    out += "- " + wrapped(c, 100, "  ") + "\n";
  std::string list;
  for (const std::string &f : files)
    list += (list.empty() ? "" : ", ") + f;
  out += "\n" + wrapped("Files: " + list + ".") + "\n" + wrapped("Solving: " + fixed(r.seconds, 1) + " s.") +
         "\n";
  return out;
}

} // namespace raybend
