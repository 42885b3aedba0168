// What `raybend check` prints of a case.
#include "cases/commands/check_report.hpp"
#include "cases/catalogue/anatomy.hpp"
#include "cases/catalogue/support_kinds.hpp"
#include "cases/forefoot/design_words.hpp"
#include "cases/words/words.hpp"
#include "geometry/constants.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/day_answer.hpp"
#include "postprocess/words/summary_parts.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

/// A number as it was typed.
std::string typed(const double value) {
  return number_text(value, 10);
}

/// Where a value comes from: "case", "default", "--set", ...; "" if the case has no such key.
std::string origin_of(const Case &c, const std::string &key) {
  for (const Case::Resolved &r : c.resolved)
    if (r.key == key)
      return r.origin;
  return "";
}

/// A ray's measure as the case file names it; "" if it has no key.
std::string key_of(double Ray::*const member) {
  for (const RayField &field : ray_fields())
    if (field.member == member)
      return field.name;
  return "";
}

std::string longer(const std::string &a, const std::string &b) {
  return b.size() > a.size() ? b : a;
}

std::string line(const std::string &label, const std::string &text) {
  return "  " + padded(label, 24) + folded(one_line(text), 84, 26) + "\n";
}

std::string foot_part(const Case &c) {
  const Forefoot &foot = c.foot;
  std::string out = "Foot\n";
  out += line("body mass",
              typed(foot.body_mass_kg) + " kg, " + fixed(foot.body_mass_kg * standard_gravity, 0) + " N");
  const bool by_size = contains(origin_of(c, "patient.foot_length_mm"), "shoe_size");
  out += line("foot", std::string(foot.sex == Sex::female ? "female, " : "male, ") +
                          (foot.side == Side::left ? "left, " : "right, ") +
                          (by_size ? "about " + fixed(foot.foot_length, 0) + " mm long, from the shoe size"
                                   : typed(foot.foot_length) + " mm long"));
  const std::string width = number_text(std::round(100 * forefoot_width(foot)) / 100);
  out += line("forefoot width", width + " mm across the heads of MT1 and MT5");
  out += line("painful ray", std::to_string(foot.painful_ray));

  out += "\n  " + padded("", 30);
  for (int r = 1; r <= 5; ++r)
    out += right_aligned("ray " + std::to_string(r), 9);
  out += "\n";
  struct Column {
    const char *name, *unit;
    double Ray::*member;
    int digits; ///< of a value that was not typed
  };
  const Column columns[] = {
      {"length", "mm", &Ray::length, 1},
      {"head behind MT2's", "mm", &Ray::head_behind_mt2, 1},
      {"head medial of MT2's", "mm", &Ray::head_medial_of_mt2, 1},
      {"declination", "deg", &Ray::declination_deg, 1},
      {"shaft width", "mm", &Ray::shaft_width, 1},
      {"shaft height", "mm", &Ray::shaft_height, 1},
      {"cortex", "mm", &Ray::cortex, 2},
      {"head width", "mm", &Ray::head_width, 1},
      {"head height", "mm", &Ray::head_height, 1},
      {"tissue under head", "mm", &Ray::tissue_under_head, 1},
      {"arch rise", "mm", &Ray::arch_rise, 1},
      {"joint mobility", "deg", &Ray::mobility_deg, 1},
      {"share of fascia", "", &Ray::fascia_share, 2},
      {"share of toe load", "", &Ray::toe_share, 2},
  };
  for (const Column &column : columns) {
    out += "  " + padded(column.name, 24) + padded(column.unit, 6);
    for (int r = 1; r <= 5; ++r) {
      const double value = foot.rays[r - 1].*column.member;
      const std::string origin =
          origin_of(c, "patient.ray" + std::to_string(r) + "." + key_of(column.member));
      const bool given = origin == "case" || origin == "--set";
      out += right_aligned(longer(fixed(value, column.digits), given ? typed(value) : ""), 9);
    }
    out += "\n";
  }
  const FootMaterials &m = foot.materials;
  out += "\n";
  const auto bone = [&](const char *name, const double e, const double nu, const double across,
                        const double g) {
    const std::string direction =
        m.bone_law == BoneLaw::transverse
            ? ", across " + number_text(across) + " MPa, G " + number_text(g, 4) + " MPa"
            : ", isotropic";
    out += line(name, "E " + number_text(e) + " MPa, nu " + number_text(nu) + direction);
  };
  bone("cortical bone", m.cortical_e, m.cortical_nu, m.cortical_e_transverse, m.cortical_g);
  bone("spongy bone", m.trabecular_e, m.trabecular_nu, m.trabecular_e_transverse, m.trabecular_g);
  out += line("plantar tissue", "mu " + number_text(m.tissue_mu) + " MPa, stiffening " +
                                    number_text(m.tissue_stiffening) + ", bulk " +
                                    number_text(m.tissue_bulk) + " MPa");
  out += line("plantar fascia", number_text(m.fascia_stiffness) + " N/mm");
  return out;
}

/// Hours, load cycles and force of each activity.
std::string day_part(const Case &c) {
  std::size_t width = 24;
  for (const DayActivity &d : c.day)
    width = std::max(width, text_width(d.words()));
  std::string out = "Day\n  " + padded("", width) + right_aligned("h", 8) +
                    right_aligned("steps of this foot", 21) + right_aligned("N", 8) +
                    right_aligned("body weights", 15) + "\n";
  double hours = 0, cycles = 0;
  const auto row = [&](const std::string &name, const double h, const double n) {
    out += "  " + padded(name, width) + right_aligned(number_text(h, 6), 8) + right_aligned(fixed(n, 0), 21);
  };
  for (const DayActivity &d : c.day) {
    row(d.words(), d.hours_per_day, d.cycles());
    out += right_aligned(fixed(vertical_force(d, c.foot.body_mass_kg), 0), 8) +
           right_aligned(number_text(d.activity.force_bw), 15) +
           (d.cycles() > 0 ? "" : "   " + idle_words(d) + ": adds no load cycles") + "\n";
    hours += d.hours_per_day;
    cycles += d.cycles();
  }
  row("together", hours, cycles);
  return out + "\n";
}

std::string load_part(const Case &c, const DayActivity &day) {
  const Activity &a = day.activity;
  const double weight = (c.foot.body_mass_kg + a.carried_kg) * standard_gravity;
  const double force = vertical_force(a, c.foot.body_mass_kg);
  std::string out = "Load: " + day.words() + "\n";
  const auto newtons = [](const std::string &label, const double n, const std::string &words) {
    return "  " + padded(label, 24) + right_aligned(fixed(n, 0), 6) + " N   " + words + "\n";
  };
  if (a.carried_kg > 0)
    out += newtons("carried", a.carried_kg * standard_gravity, typed(a.carried_kg) + " kg");
  out += newtons("forefoot and toes", force, typed(a.force_bw) + " x " + fixed(weight, 0) + " N");
  out += newtons("under the toes", a.toe_share * force, typed(100 * a.toe_share) + " %");
  out += newtons("left for the forefoot", (1 - a.toe_share) * force, "");
  while (out[out.size() - 2] == ' ')
    out.erase(out.size() - 2, 1);
  if (a.forward_share != 0)
    out += newtons(a.forward_share > 0 ? "forward as well" : "backward as well",
                   std::abs(a.forward_share) * force, typed(100 * std::abs(a.forward_share)) + " % of all");
  if (a.fascia)
    out += newtons("plantar fascia", a.fascia_bw * weight, "before the load stretches it");
  if (a.flexors)
    out += line("toe flexors", "pull " + typed(a.flexor_effort) + " times what the toes' load asks for");
  out += line("heel rise", typed(a.heel_rise_deg) + " deg");
  out += line("steps", typed(a.steps_per_hour) + " an hour, " + typed(day.hours_per_day) +
                           " h a day: " + fixed(day.cycles(), 0) + " loadings of this foot a day");
  if (const std::vector<std::string> special = special_words(a); !special.empty())
    out += line("special", list_text(special));
  return out;
}

std::string design_part(const Case &c) {
  std::string out = "Designs (from the ground up)\n";
  for (const Design &d : c.designs) {
    out += (out.back() == '\n' && &d != &c.designs.front() ? "\n" : "");
    out += "  " + d.name + (d.name == c.reference ? "  (reference)" : "") + "\n";
    if (d.title != d.name)
      out += "    " + folded(one_line(d.title), 96, 4) + "\n";
    out += "    " + padded("fit", 12) + typed(d.fit) + " (" + fit_words(d.fit) + ")\n";
    for (const Layer &l : d.layers) {
      const InsoleMaterial &m = l.material;
      out += "    " + padded(role_name(l.role), 12) + right_aligned(typed(l.thickness), 5) + " mm  " +
             padded(m.name, 18) + "E " + padded(modulus_words(m), 12) + "nu " + number_text(m.nu) + "\n";
      if (const std::string more = filler_words(d, l) + extent_words(l); !more.empty())
        out += "    " + padded("", 22) + folded(trimmed(more.substr(more.front() == ',' ? 1 : 0)), 78, 26) +
               "\n";
    }
    if (d.support.empty())
      out += "    " + padded("support", 12) + "none\n";
    for (const SupportElement &e : d.support)
      out += "    " + padded("support", 12) + folded(support_words(e), 84, 16) + "\n";
  }
  return out;
}

} // namespace

std::string check_report(const Case &c) {
  std::string out = one_line(c.title) + "\n";
  if (!c.question.empty())
    out += line("question", c.question);
  if (!c.note.empty())
    out += line("note", c.note);
  out += "\n" + foot_part(c) + "\n";
  if (c.day.size() > 1)
    out += day_part(c) + "\n";
  for (const DayActivity &day : c.day)
    out += load_part(c, day) + "\n";
  out += design_part(c);
  if (!c.warnings.empty()) {
    out += "\nWarnings\n";
    for (const std::string &w : c.warnings)
      out += "  " + folded(one_line(w), 104, 4) + "\n";
  }
  return out;
}

} // namespace raybend
