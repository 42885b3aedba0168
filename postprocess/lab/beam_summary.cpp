// The summary of a beam: tables in Markdown and the sentences between them.
#include "geometry/beam_cautions.hpp"
#include "geometry/beam_section.hpp"
#include "postprocess/lab/beam_report.hpp"
#include "postprocess/lab/beam_words.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/summary_parts.hpp"
#include <algorithm>
#include <cmath>
#include <limits>

namespace raybend {

namespace {

/// 0 instead of what rounding left of it.
double tidy(const double x, const double scale) {
  return std::abs(x) < 1e-7 * scale ? 0 : x;
}

/// Digits behind the point: two of the band where there is one, but no more than five of the largest value.
int digits_behind(const double largest, const double band) {
  const auto before = [](const double x) {
    return static_cast<int>(std::floor(std::log10(x * (1 + 1e-9)))) + 1;
  };
  if (!(largest > 0))
    return 0;
  const int five = 5 - before(largest);
  return std::clamp(band > 0 ? std::min(five, 2 - before(band)) : five, 0, 15);
}

/// Theory's number to as many digits; 0 for what rounding left of it.
std::string theory_text(const double x, const double largest, const int digits) {
  return std::abs(x) < 1e-7 * largest ? "0" : fixed(x, digits);
}

/// A place along the axis, to five digits of the length.
std::string place_text(const Beam &beam, const double s) {
  const double step = std::pow(10, -std::max(2, digits_behind(beam.length, 0)));
  return plain_number(std::round(s / step) * step);
}

std::string percent(const double part, const double whole) {
  return std::abs(whole) < 1e-300 ? "-" : signed_fixed(100 * (part / whole - 1), 2);
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

/// Largest of a value over the stations and of its band over the same, both as sizes.
template <typename Value, typename Band>
std::array<double, 2> largest_and_band(const BeamReport &r, const Value &value, const Band &band) {
  std::array<double, 2> most{0, 0};
  for (const SolidStation &s : r.last().stations) {
    most[0] = std::max(most[0], std::abs(value(s)));
    most[1] = std::max(most[1], std::abs(band(s.s)));
  }
  return most;
}

std::string deflections(const BeamReport &r, const BeamCounts &counts) {
  std::string out;
  for (const int axis : {2, 1, 0}) {
    if (!counts.u[axis])
      continue;
    const auto [here, band] = largest_and_band(
        r, [axis](const SolidStation &s) { return s.u[axis]; },
        [&](const double s) { return r.band(s, axis); });
    const int digits = digits_behind(here, band), of_theory = digits_behind(here, 0);
    TextTable table({"x, mm", std::string("3D u_") + axis_name[axis] + ", mm", "± band",
                     "Euler-Bernoulli, mm", "Timoshenko, mm", "3D to Timoshenko, %"},
                    std::vector<Column>(6, Column::right));
    for (const double s : rows_for(r, axis)) {
      const double t = r.timoshenko.at(s).u[axis], e = r.euler.at(s).u[axis],
                   u = r.last().displacement(s)[axis];
      const bool small = std::abs(u) < 1e-3 * here;
      table.add({place_text(r.beam, s), small ? "0" : fixed(u, digits),
                 band_text(std::abs(r.band(s, axis)), digits), theory_text(e, here, of_theory),
                 theory_text(t, here, of_theory), small ? "-" : percent(u, t)});
    }
    out += table.markdown() + "\n";
  }
  return out;
}

std::string twists(const BeamReport &r, const BeamCounts &counts) {
  if (!counts.twist)
    return "";
  const auto [most, band] = largest_and_band(
      r, [](const SolidStation &s) { return s.rotation[0]; },
      [&](const double s) { return r.twist_band(s); });
  const int digits = digits_behind(most, band), of_theory = digits_behind(most, 0);
  TextTable table({"x, mm", "3D twist, rad", "± band", "torsion theory, rad", "3D to theory, %"},
                  std::vector<Column>(5, Column::right));
  for (const SolidStation *s : {&r.last().at(0), &r.last().at(r.beam.length)}) {
    const double theory = r.theory_twist(s->s), here = s->rotation[0];
    const bool small = std::abs(here) < 1e-3 * most;
    table.add({place_text(r.beam, s->s), small ? "0" : fixed(here, digits),
               band_text(std::abs(r.twist_band(s->s)), digits), theory_text(theory, most, of_theory),
               small ? "-" : percent(here, theory)});
  }
  return table.markdown() + "\n";
}

/// What has no table and no chart, in one sentence; "" if nothing is left out.
std::string left_out(const BeamCounts &counts) {
  constexpr const char *forces[3] = {"N", "Vy", "Vz"}, *moments[3] = {"T", "My", "Mz"};
  std::string list;
  const auto name = [&](const bool counted, const std::string &what) {
    if (!counted)
      list += (list.empty() ? "" : ", ") + what;
  };
  for (int c = 0; c < 3; ++c)
    name(counts.u[c], std::string("u_") + axis_name[c]);
  name(counts.twist, "twist");
  for (int c = 0; c < 3; ++c)
    name(counts.force[c], forces[c]);
  for (int c = 0; c < 3; ++c)
    name(counts.moment[c], moments[c]);
  return list.empty()
             ? ""
             : wrapped("Negligible, so without table and chart (beam.csv has them): " + list + ".") + "\n\n";
}

/// How 3D and theory compare: largest difference of the tables beyond the band, and what may explain it.
std::string comparison(const BeamReport &r, const BeamCounts &counts) {
  constexpr double same = 5e-3; // of the largest value (assumed): below, there is nothing to explain
  double worst = same;
  std::string what;
  const auto compare = [&](const std::string &name, const double s, const double solid, const double theory,
                           const double band, const double most) {
    const double gap = std::abs(solid - theory) / most;
    if (gap <= worst || std::abs(solid - theory) <= std::abs(band))
      return;
    worst = gap;
    what = name + " at x = " + place_text(r.beam, s) + " mm by " + fixed(100 * gap, 1) + " % of the largest";
  };
  for (const int axis : {2, 1, 0}) {
    if (!counts.u[axis])
      continue;
    const double most = largest_and_band(
        r, [axis](const SolidStation &s) { return s.u[axis]; }, [](double) { return 0.0; })[0];
    for (const double s : rows_for(r, axis))
      compare(std::string("u_") + axis_name[axis], s, r.last().displacement(s)[axis],
              r.timoshenko.at(s).u[axis], r.band(s, axis), most);
  }
  if (counts.twist) {
    const double most = largest_and_band(
        r, [](const SolidStation &s) { return s.rotation[0]; }, [](double) { return 0.0; })[0];
    for (const SolidStation &s : r.last().stations)
      compare("the twist", s.s, s.rotation[0], r.theory_twist(s.s), r.twist_band(s.s), most);
  }
  if (what.empty())
    return "3D and theory agree within the band or 0.5 %.";
  return "3D and theory differ beyond the band: " + what + ". " +
         (r.beyond_theory.empty() ? "Nothing is known of this beam that theory leaves out, so do not take "
                                    "the difference for theory's: "
                                    "look at supports and loads first, and solve one level more."
                                  : "Likely reasons stand below, under where theory does not hold.");
}

std::string motions(const BeamReport &r) {
  const BeamCounts counts = what_counts(r);
  const char *words = !counts.twist               ? "Deflection"
                      : counts.any_displacement() ? "Deflection and twist"
                                                  : "Twist";
  return std::string("\n## ") + words + "\n\n" + deflections(r, counts) + twists(r, counts) +
         left_out(counts);
}

/// Axial force that the temperature would make of a beam held at both ends, N.
double thermal_force(const Beam &beam) {
  const FreeStrain free = free_strain(beam, 0);
  return section_stiffness(beam, 0).ea *
         (std::abs(free.axial) + std::abs(free.curvature) * beam.section.start.depth);
}

/// Size of the supports' forces or moments, and the digits that repeat from mesh to mesh.
struct Scale {
  double most = 0;
  int digits = 0;
};
Scale scale_of(const BeamReport &r, const std::vector<Vec3> SolidResult::*reaction) {
  Scale scale;
  double band = 0;
  for (std::size_t i = 0; i < r.beam.supports.size(); ++i) {
    const Vec3 now = (r.last().*reaction)[i];
    scale.most = std::max(scale.most, norm(now));
    if (r.levels.size() > 1)
      band = std::max(band, norm(now - (r.levels[r.levels.size() - 2].*reaction)[i]));
  }
  scale.digits = digits_behind(scale.most, band);
  return scale;
}

std::string reactions(const BeamReport &r) {
  if (r.beam.supports.empty())
    return "";
  TextTable table(
      {"support", "x, mm", "kind", "3D force x, y, z, N", "Timoshenko, N", "3D moment x, y, z, N mm"},
      {Column::right, Column::right, Column::left, Column::left, Column::left, Column::left});
  const Scale force = scale_of(r, &SolidResult::force), moment = scale_of(r, &SolidResult::moment);
  double bending = moment.most; // within the beam too: end couples may ask nothing of the supports
  for (const SolidStation &s : r.last().stations)
    bending = std::max(bending, norm(s.statics_moment));
  // Below them a number is what rounding left.
  const double no_force =
                   1e-4 * std::max({force.most, bending / r.beam.length, 1e-2 * thermal_force(r.beam)}),
               no_moment = std::max({1e-4 * bending, 1e-4 * force.most * r.beam.section.start.depth,
                                     no_force * r.beam.section.start.depth});
  const auto three = [](const Vec3 &v, const double zero, const int digits) {
    std::string out;
    for (int i = 0; i < 3; ++i)
      out += (i ? "  " : "") + (std::abs(v[i]) < zero ? "0" : fixed(v[i], digits));
    return out;
  };
  for (std::size_t i = 0; i < r.beam.supports.size(); ++i) {
    const BeamSupport &s = r.beam.supports[i];
    const bool holds_moment = s.kind == HoldKind::clamped || s.kind == HoldKind::soft_clamped;
    table.add({std::to_string(i + 1), place_text(r.beam, s.at), hold_words(s),
               r.last().touching[i] ? three(r.last().force[i], no_force, force.digits) : "lifted off",
               r.timoshenko.touching[i] ? three(r.timoshenko.force[i], no_force, digits_behind(force.most, 0))
                                        : "lifted off",
               holds_moment ? three(r.last().moment[i], no_moment, moment.digits) : "-"});
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
  const double size = r.beam.section.start.depth, band = std::abs(most->solid - most->before);
  const int digits = digits_behind(std::abs(most->solid), band);
  table.add({place_text(r.beam, most->s), short_number(tidy(most->y, size), 4),
             short_number(tidy(most->z, size), 4), fixed(most->solid, digits), band_text(band, digits),
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
  if (const double warm = thermal_force(r.beam);
      std::max(most_force, most_moment / r.beam.length) < 1e-6 * warm)
    return "Equilibrium: no section carries a force or a moment.\n\n";
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

/// The file's own references.
std::string compared(const BeamReport &r) {
  const TextbookResult &c = r.compared;
  if (c.quantities.empty())
    return "";
  TextTable table({"quantity", "3D", "reference", "error", "tolerance", "verdict"},
                  {Column::left, Column::right, Column::right, Column::right, Column::right, Column::left});
  for (std::size_t i = 0; i < c.quantities.size(); ++i) {
    const TextbookQuantity &q = c.quantities[i];
    const double value = c.levels[0].values[i];
    const bool absolute = q.tolerance > 0 || q.reference == 0;
    table.add({q.name + (q.unit.empty() ? "" : ", " + q.unit), short_number(value, 6),
               short_number(q.reference, 6),
               absolute ? short_number(value - q.reference, 3) : percent(value, q.reference) + " %",
               q.tolerance > 0 ? plain_number(q.tolerance) : plain_number(q.tolerance_percent) + " %",
               !q.decides    ? "-"
               : c.within(i) ? "met"
                             : "missed"});
  }
  return "## Beside the file's references\n\n" + table.markdown() + "\n";
}

/// Displacement and rotation over the load; "" of a load put on at once.
std::string load_curve(const BeamReport &r) {
  if (r.last().steps.empty())
    return "";
  TextTable table(
      {"load factor", "largest displacement, mm", "largest rotation, deg", "support 1: force x, y, z, N"},
      {Column::right, Column::right, Column::right, Column::left});
  const auto add = [&](const SolidResult &step) {
    double most = 0;
    for (const SolidStation &s : step.stations)
      most = std::max(most, norm(s.u));
    std::string force = "-";
    if (!step.force.empty()) {
      const double zero = 1e-6 * norm(step.force[0]);
      force = "";
      for (const double f : step.force[0])
        force += (force.empty() ? "" : "  ") + (std::abs(f) <= zero ? "0" : short_number(f));
    }
    table.add(
        {plain_number(step.load), short_number(most), short_number(step.largest_rotation_deg, 4), force});
  };
  for (const SolidResult &step : r.last().steps)
    add(step);
  add(r.last());
  return "## Load steps\n\n" + table.markdown() + "\n";
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

std::string beam_summary(const BeamReport &r, const std::vector<std::string> &files) {
  std::string out = title_words(r.beam.title, r.date) + "\n";
  if (!r.beam.note.empty())
    out += wrapped(one_line(r.beam.note)) + "\n\n";
  out += what_was_asked(r) + motions(r);
  out += wrapped("3D: mean of the section, 27-node hexahedra, " + std::to_string(r.last().unknowns) +
                 " unknowns; band: change from the mesh before. " + comparison(r, what_counts(r))) +
         "\n\n";
  out += list_part("Warnings", r.warnings) + list_part("Where theory does not hold", r.beyond_theory);
  out += compared(r) + load_curve(r) + stresses(r) + reactions(r) + equilibrium(r);
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
