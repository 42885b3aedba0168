#include "postprocess/summary.hpp"
#include "geometry/cautions.hpp"
#include "geometry/version.hpp"
#include "postprocess/answer.hpp"
#include "postprocess/number_text.hpp"
#include "postprocess/summary_parts.hpp"
#include "postprocess/text_table.hpp"
#include "solver/forefoot/sensor_pressure.hpp"
#include <algorithm>
#include <cctype>
#include <cmath>

namespace raybend {

namespace {

constexpr auto L = Column::left, R = Column::right;

bool invented(const std::string &note) {
  std::string lower;
  for (unsigned char c : note)
    lower += static_cast<char>(std::tolower(c));
  return lower.find("invented") != std::string::npos;
}

} // namespace

std::string title_words(const std::string &title, const std::string &date) {
  return "# " + one_line(title.empty() ? "Insole comparison" : title) + "\n\nRaybend " + raybend_version +
         (date.empty() ? "" : ", calculated " + date) + "\n";
}

std::string heading(const std::string &words) {
  return "\n## " + words + "\n\n";
}

std::string item(const std::string &words) {
  return wrapped("- " + words, 110, "  ") + "\n";
}

std::string design_name(const ReportInput &input, std::size_t place) {
  return one_line(input.outcomes[place].name_for_people());
}

std::string patient_words(const ReportInput &input) {
  const Forefoot &f = input.foot;
  std::string text = heading(invented(input.note) ? "Patient (invented)" : "Patient");
  if (!input.note.empty())
    text += wrapped(one_line(input.note), 110) + "\n\n";
  text += std::string(f.sex == Sex::female ? "Female" : "Male") + ", " + fixed(f.body_mass_kg, 1) + " kg, " +
          (f.side == Side::left ? "left" : "right") + " foot, " + fixed(f.foot_length, 1) +
          " mm long; painful ray: " + std::to_string(f.painful_ray) + ".\n";
  return text;
}

std::string activity_words(const ReportInput &input) {
  const Activity &a = input.activity.activity;
  const double force = vertical_force(a, input.foot.body_mass_kg);
  std::string text =
      wrapped(one_line(input.activity.words()) + ": " + fixed(force) +
                  " N vertical force on forefoot and toes (" + fixed(a.force_bw, 2) + " body weights" +
                  (a.carried_kg > 0 ? ", " + fixed(a.carried_kg, 1) + " kg carried included" : "") + "), " +
                  fixed(force * a.toe_share) + " N of it (" + fixed(100 * a.toe_share) +
                  " %) under the toes; heel rise " + fixed(a.heel_rise_deg) + " degrees; plantar fascia " +
                  fixed(a.fascia_bw, 2) + " body weights before elongation; " + fixed(a.steps_per_hour) +
                  " steps an hour, both feet; " + fixed(input.activity.hours_per_day, 1) + " hours a day.",
              110) +
      "\n";
  std::vector<std::string> special;
  if (a.barefoot)
    special.push_back("barefoot on rigid ground");
  if (!a.fascia)
    special.push_back("plantar fascia cut");
  if (!a.flexors)
    special.push_back("toe flexor tendons cut");
  if (a.clamped_bases)
    special.push_back("bases clamped");
  if (a.free_roll)
    special.push_back("midfoot free to roll");
  for (const std::string &words : special)
    text += "- " + words + "\n";
  return text;
}

std::string rank_words(int best, int worst) {
  const std::string first = std::to_string(best);
  return best == worst ? first : first + " to " + std::to_string(worst);
}

namespace {

std::string change(const std::optional<Difference> &d) {
  return d ? signed_banded(d->percent, percent_digits(d->percent)) : "-";
}

} // namespace

std::string ranking_table(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  const std::size_t reference = reference_place(input);
  const std::size_t painful = input.foot.painful_ray - 1;
  TextTable table(
      {"rank", "design", "peak strain, ue", "bending stress, MPa", "to reference, %", "support's effect, %"},
      {L, L, R, R, R, R});
  for (const RankedDesign &d : ranking) {
    const DesignOutcome &o = input.outcomes[d.place];
    const std::string name = design_name(input, d.place) + (d.place == reference ? " (reference)" : "");
    if (d.ranked)
      table.add({rank_words(d.best_rank, d.worst_rank), name, banded(d.strain),
                 banded(o.with.ray[painful].peak_bending_stress, 1),
                 d.place == reference ? "0" : change(d.from_reference), change(d.from_unsupported)});
    else
      table.add({"-", name, "not converged", "-", "-", "-"});
  }
  return table.markdown();
}

std::string ranking_note() {
  return wrapped(
             "Peak strain: the larger magnitude of dorsal and plantar strain along the bone's surface "
             "between 15 and "
             "85 % of its length; value ± discretisation band, ue = microstrain. A rank \"1 to 2\" means "
             "that this "
             "mesh leaves the order open. Support's effect: the same insole with against without its support "
             "elements.",
             110) +
         "\n\n";
}

namespace {

void ray_rows(TextTable &table, const DesignResult &result, const std::string &words) {
  for (int r = 1; r <= 5; ++r) {
    const RayResult &ray = result.ray[r - 1];
    table.add({words, std::to_string(r), signed_banded(ray.peak_dorsal), fixed(100 * ray.peak_dorsal_at),
               signed_banded(ray.peak_plantar), fixed(100 * ray.peak_plantar_at),
               signed_banded(ray.peak_moment), banded(ray.peak_bending_stress, 1)});
  }
}

std::string ray_table(const DesignOutcome &o) {
  TextTable table(
      {"support", "ray", "dorsal, ue", "at, %", "plantar, ue", "at, %", "moment M, N mm", "bending, MPa"},
      {L, R, R, R, R, R, R, R});
  if (o.with.converged)
    ray_rows(table, o.with, o.has_support() ? "with" : "none");
  if (o.has_support() && o.without.converged)
    ray_rows(table, o.without, "without");
  return table.markdown();
}

void load_rows(TextTable &table, const DesignResult &result, const std::string &words) {
  double heads = 0;
  for (const RayResult &ray : result.ray)
    heads += ray.head_force.value;
  for (int r = 1; r <= 5; ++r) {
    const RayResult &ray = result.ray[r - 1];
    table.add({words, std::to_string(r), banded(ray.head_force),
               heads != 0 ? fixed(100 * ray.head_force.value / heads) : "-", banded(ray.head_peak_pressure),
               fixed(ray.head_mean_pressure), fixed(ray.shaft_force), fixed(ray.shaft_peak_pressure),
               fixed(ray.toe_load), fixed(ray.fascia_tension)});
  }
}

std::string load_table(const DesignOutcome &o) {
  TextTable table({"support", "ray", "head, N", "share, %", "head peak, kPa", "mean, kPa", "shaft, N",
                   "shaft peak, kPa", "toe, N", "fascia, N"},
                  {L, R, R, R, R, R, R, R, R, R});
  if (o.with.converged)
    load_rows(table, o.with, o.has_support() ? "with" : "none");
  if (o.has_support() && o.without.converged)
    load_rows(table, o.without, "without");
  return table.markdown();
}

std::string design_section(const ReportInput &input, const RankedDesign &d) {
  const DesignOutcome &o = input.outcomes[d.place];
  std::string text = heading("Design: " + design_name(input, d.place));
  if (!o.with.converged && !(o.has_support() && o.without.converged))
    return text + "Not converged.\n";
  text += ray_table(o) + "\n" + load_table(o);
  if (d.from_unsupported || d.from_reference || (o.has_support() && o.with.converged))
    text += "\n";
  if (o.has_support() && o.with.converged)
    text += item("Force over the plan of the support elements: " + fixed(o.with.support_force) + " N.");
  if (d.from_unsupported)
    text += item("Against the same insole without its support elements, " + load_words(*d.from_unsupported));
  if (d.from_reference)
    text += item("Against the reference, " + load_words(*d.from_reference));
  return text;
}

} // namespace

std::string solve_table(const std::vector<const ReportInput *> &activities) {
  const bool several = activities.size() > 1;
  std::vector<std::string> heads = {"design", "support", "unknowns", "Newton",         "CG",
                                    "s",      "MiB",     "balance",  "M to statics, %"};
  std::vector<Column> sides = {L, L, R, R, R, R, R, R, R};
  if (several) {
    heads.insert(heads.begin(), "activity");
    sides.insert(sides.begin(), L);
  }
  TextTable table(heads, sides);
  auto row = [&](const ReportInput &input, const std::string &name, const std::string &words,
                 const DesignResult &r) {
    const std::string balance =
        balance_error(r) <= balance_limit ? "met" : fixed(100 * balance_error(r), 4) + " %";
    std::vector<std::string> cells = {name,
                                      words,
                                      std::to_string(r.record.unknowns),
                                      std::to_string(r.record.newton_steps),
                                      std::to_string(r.record.cg_iterations),
                                      fixed(r.record.seconds, 1),
                                      fixed(r.record.peak_memory_mib),
                                      r.converged ? balance : "-",
                                      r.converged ? fixed(100 * moment_error(r), 2) : "-"};
    if (several)
      cells.insert(cells.begin(), one_line(input.activity.name));
    table.add(cells);
  };
  for (const ReportInput *input : activities)
    for (std::size_t i = 0; i < input->outcomes.size(); ++i) {
      const DesignOutcome &o = input->outcomes[i];
      row(*input, design_name(*input, i), o.has_support() ? "with" : "none", o.with);
      if (o.has_support())
        row(*input, design_name(*input, i), "without", o.without);
    }
  return heading("Calculation") + table.markdown() +
         "\nWhole comparison: " + fixed(activities.front()->seconds, 1) + " s.\n";
}

std::string meaning_words(bool whole_day) {
  std::string text = heading("What the numbers mean, and what they do not");
  const std::string side = fixed(sensor_side);
  const std::string peak_pressure =
      "Peak pressure (in sentences: pressure): the mean over the " + side + " x " + side +
      " mm that carry most, as a sensor shows it; a single calculated point can be higher.";
  for (const char *words :
       {"Strain is along the ray at the bone's surface; negative is compression. M positive puts the plantar "
        "side in tension. Bending stress is E times the largest bending strain; the axial part is left out.",
        "The band is the discretisation error of this mesh alone: the difference between two mesh levels, at "
        "coarse resolution an assumed 15 %. Designs are compared on the same meshes, "
        "so a difference has a band of its own, mostly smaller than those of the two numbers. A band says "
        "nothing of how well the foot, its "
        "tissue or the insole's materials are known; those can move every number by more than the band. Vary "
        "them before trusting a small difference.",
        "Head: skin over the distal 30 % of the ray and beyond; shaft: the rest of the ray. Share: of the "
        "five "
        "heads together.",
        peak_pressure.c_str(),
        whole_day
            ? "One instant of each activity is calculated, not a whole step. The day's sum knows no order of "
              "activities, no rest and no repair of bone."
            : "One instant of one activity is calculated, not a whole step and not a day.",
        "No measured metatarsal strain with a pad or a bar exists to compare with: the stress difference is "
        "a "
        "model result. Pressure relief is well documented, strain relief is not.",
        "Rays 3 and 5 come out more bent than published (validation table of the README): compare designs on "
        "them, do not read their strain as absolute.",
        "Less strain in the painful ray is not less strain everywhere: read where the load goes before "
        "choosing."})
    text += item(words);
  return text;
}

std::string files_part(const std::vector<std::string> &files) {
  std::string text = files.empty() ? "" : heading("Files");
  for (const std::string &name : files)
    text += "- " + name + "\n";
  return text;
}

std::string caution_words() {
  std::string text = heading("Cautions");
  for (const char *words : cautions)
    text += item(words);
  return text;
}

std::string summary_text(const ReportInput &input, const std::vector<RankedDesign> &ranking,
                         const std::vector<std::string> &files) {
  std::string text = title_words(input.title, input.date);
  if (!input.question.empty())
    text += heading("Question") + wrapped(one_line(input.question), 110) + "\n";
  text += heading("Answer") + wrapped(answer(input, ranking), 110) + "\n";
  text += patient_words(input) + heading("Activity") + activity_words(input);
  text += heading("Ranking by ray " + std::to_string(input.foot.painful_ray)) + ranking_note() +
          ranking_table(input, ranking);

  text += heading("Warnings");
  const std::vector<std::string> warnings = report_warnings(input, ranking);
  for (const std::string &w : warnings)
    text += item(w);
  if (warnings.empty())
    text += "None.\n";

  for (const RankedDesign &d : ranking)
    text += design_section(input, d);
  text += meaning_words(false) + caution_words() + solve_table({&input});
  return text + files_part(files);
}

} // namespace raybend
