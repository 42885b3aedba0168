// The report in words and tables, for the file and for the terminal.
#include "postprocess/words/summary.hpp"
#include "geometry/cautions.hpp"
#include "geometry/version.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/answer.hpp"
#include "postprocess/words/load_words.hpp"
#include "postprocess/words/painful.hpp"
#include "postprocess/words/picture_words.hpp"
#include "postprocess/words/summary_parts.hpp"
#include "postprocess/words/sure_words.hpp"
#include "postprocess/words/warnings.hpp"
#include "solver/forefoot/sensor_pressure.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

constexpr auto L = Column::left, R = Column::right;

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

/// A number of the case as its writer gave it.
std::string as_given(double value) {
  return csv_number(value);
}

std::string design_name(const ReportInput &input, std::size_t place) {
  return one_line(input.outcomes[place].name_for_people());
}

std::string quoted_name(const DesignOutcome &outcome) {
  return "\"" + one_line(outcome.name_for_people()) + "\"";
}

std::string patient_words(const ReportInput &input) {
  const Forefoot &f = input.foot;
  std::string text = heading("Patient");
  if (!input.note.empty())
    text += wrapped(one_line(input.note), 110) + "\n\n";
  const ReportInput::Resolved *length = input.find("patient.foot_length_mm");
  const bool by_shoe = length && length->origin.find("shoe_size") != std::string::npos;
  text += std::string(f.sex == Sex::female ? "Female" : "Male") + ", " + as_given(f.body_mass_kg) + " kg, " +
          (f.side == Side::left ? "left" : "right") + " foot, " +
          (by_shoe ? "about " + fixed(f.foot_length) + " mm long by the shoe size"
                   : as_given(f.foot_length) + " mm long") +
          "; painful ray: " + painful_words(f) + ".\n";
  return text;
}

std::vector<std::string> special_words(const Activity &a) {
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
  return special;
}

/// ", 10 % of it forward as well"
std::string forward_words(const Activity &a) {
  if (a.forward_share == 0)
    return "";
  return " and " + as_given(std::abs(100 * a.forward_share)) + " % of it " +
         (a.forward_share > 0 ? "forward" : "backward");
}

std::string activity_words(const ReportInput &input) {
  const Activity &a = input.activity.activity;
  const double force = vertical_force(a, input.foot.body_mass_kg);
  std::string text =
      wrapped(one_line(input.activity.words()) + ": " + fixed(force) +
                  " N vertical force on forefoot and toes" + forward_words(a) + " (" + fixed(a.force_bw, 2) +
                  (a.carried_kg > 0 ? " times the weight of body and " + as_given(a.carried_kg) +
                                          " kg carried load together"
                                    : " body weights") +
                  "), " + fixed(force * a.toe_share) + " N of it (" + fixed(100 * a.toe_share) +
                  " %) under the toes; heel rise " + as_given(a.heel_rise_deg) + " degrees; " +
                  fixed(a.steps_per_hour) + " steps an hour, both feet; " +
                  as_given(input.activity.hours_per_day) +
                  (input.activity.hours_per_day == 1 ? " hour" : " hours") +
                  " a day: " + fixed(input.activity.cycles()) + " loadings of this foot a day.",
              110) +
      "\n";
  if (const StepResult *step = input.outcomes.empty() ? nullptr : &input.outcomes.front().with_instants;
      step && step->size() > 1) {
    std::string instants;
    for (const DesignResult &instant : *step)
      instants += (instants.empty() ? "" : ", ") + as_given(instant.stance_percent);
    text +=
        wrapped("- a step, solved at " + instants +
                    " % of stance: every peak is the largest of these; force and angle above are those of "
                    "the largest force",
                110) +
        "\n";
  }
  for (const std::string &words : special_words(a))
    text += "- " + words + "\n";
  return text;
}

std::string rank_words(int best, int worst) {
  const std::string first = std::to_string(best);
  return best == worst ? first : first + " to " + std::to_string(worst);
}

namespace {

using Change = std::optional<Difference> RankedDesign::*;

/// Digits for all cells of that column.
int change_digits(const std::vector<RankedDesign> &ranking, const Change change) {
  std::vector<Banded> column;
  for (const RankedDesign &d : ranking)
    if (d.*change)
      column.push_back((d.*change)->percent);
  return percent_digits(column);
}

} // namespace

std::string ranking_table(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  const std::size_t reference = reference_place(input);
  const std::size_t painful = input.foot.painful_ray - 1;
  TextTable table({"rank", "letter", "design", "peak strain, ue", "side", "bending, MPa", "to reference, %",
                   "support's effect, %"},
                  {L, L, L, R, L, R, R, R});
  const auto change = [&ranking](const RankedDesign &d, const Change of) {
    return d.*of ? signed_banded((d.*of)->percent, change_digits(ranking, of)) : "-";
  };
  for (const RankedDesign &d : ranking) {
    const DesignOutcome &o = input.outcomes[d.place];
    const std::string name = design_name(input, d.place) + (d.place == reference ? " (reference)" : "");
    if (d.ranked)
      table.add({rank_words(d.best_rank, d.worst_rank), design_letter(d.place), name, banded(d.strain),
                 side_words(o.with.ray[painful].peak_strain_towards),
                 banded(o.with.ray[painful].peak_bending_stress, 1),
                 d.place == reference ? "0" : change(d, &RankedDesign::from_reference),
                 change(d, &RankedDesign::from_unsupported)});
    else
      table.add({"-", design_letter(d.place), name, d.why_not, "-", "-", "-", "-"});
  }
  return table.markdown();
}

std::string ranking_note(const Forefoot &foot) {
  return wrapped(
             "Peak strain: the largest strain along the bone on its surface, on whichever side, between " +
                 counted_words(foot) +
                 " of its length; value ± discretisation band, ue = microstrain. A rank \"1 to 2\" means "
                 "that "
                 "this mesh "
                 "leaves the order open. Letter: the design on the pictures. To reference, support's effect: "
                 "change of that strain against the "
                 "reference; "
                 "against the same insole without its support elements.",
             110) +
         "\n\n";
}

std::string designs_part(const ReportInput &input) {
  std::string text;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i)
    if (const std::vector<std::string> &words = input.outcomes[i].made_of; !words.empty()) {
      std::string line = design_name(input, i) + ":";
      for (std::size_t k = 0; k < words.size(); ++k)
        line += (k > 0 ? "; " : " ") + words[k];
      text += item(line + ".");
    }
  return text.empty() ? text : heading("Designs, layers from the ground up") + text;
}

std::string changes_part(const ReportInput &input) {
  const std::vector<std::string> &changes = input.changes;
  if (changes.empty())
    return "";
  std::string text = heading("Changed on the command line");
  for (const std::string &change : changes)
    text += item(one_line(change));
  return text;
}

namespace {

std::string resolution_used(const ReportInput &input) {
  const ReportInput::Resolved *r = input.find("mesh.resolution");
  return r ? ", " + r->value + " resolution" : "";
}

/// The tension that is set before the load stretches the fascia.
std::string fascia_words(const std::vector<const ReportInput *> &activities) {
  std::string text;
  for (const ReportInput *input : activities)
    if (const Activity &a = input->activity.activity; a.fascia)
      text += (text.empty() ? "" : "; ") +
              (activities.size() > 1 ? one_line(input->activity.name) + " " : std::string()) +
              fixed(a.fascia_bw, 2);
  return text.empty() ? ""
                      : wrapped("Plantar fascia before elongation, in weights of body and carried load "
                                "together: " +
                                    text + ".",
                                110) +
                            "\n\n";
}

} // namespace

std::string lab_part(const std::vector<const ReportInput *> &activities) {
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
  return heading("For the lab: how it was calculated") + fascia_words(activities) + table.markdown() +
         "\nSolving: " + fixed(activities.front()->seconds, 1) + " s" + resolution_used(*activities.front()) +
         ".\n";
}

namespace {

/// A statement that is made only where `wanted`.
struct Statement {
  bool wanted;
  std::string words;
};

std::vector<Statement> number_meanings(const TablesHeld &held) {
  const std::string side = fixed(sensor_side);
  return {
      {true,
       std::string("Strain is along the ray at the bone's surface; negative is compression. ") +
           (held.rays ? "M positive puts the plantar side in tension. " : "") +
           "Bending stress is E times the largest bending strain, sagittal and transverse together; the "
           "axial part is left out." +
           (held.rays ? " At: per cent of the ray's length, from its base." : "")},
      {held.changes, "In tables of changes a number in brackets is within its band: it may be no change at "
                     "all. Shaft force is calculated without a band."},
      {true,
       "The band is the discretisation error of this mesh alone: the difference between two mesh levels, at "
       "coarse resolution an assumed 25 %. Designs are compared on the same meshes, "
       "so a difference has a band of its own, mostly smaller than those of the two numbers. A band says "
       "nothing of how well the foot, its "
       "tissue or the insole's materials are known; those can move every number by more than the band. Vary "
       "them before trusting a small difference."},
      {held.rays, "Head force: on the skin over the distal 30 % of the ray and beyond; shaft force: on the "
                  "rest. Share: of the five heads together."},
      {held.rays,
       "Peak pressure (in sentences: pressure): the mean over the " + side + " x " + side +
           " mm that carry most, as a sensor shows it; a single calculated point can be higher. Under the "
           "head: its centre within 10 mm of the head's along the foot" +
           (held.whole_day ? "" : ", where the mean is taken too") +
           "; under the shaft: its centre under the proximal 70 % of the ray."},
  };
}

std::vector<Statement> model_meanings(const TablesHeld &held) {
  return {
      {true,
       std::string(held.course
                       ? "A step is solved at the instants that matter for its peaks; what lies between "
                         "them, and the impact of landing, are not calculated."
                       : "One instant of each activity is calculated, not a whole step.")},
      {true, held.whole_day
                 ? "The day's sum knows no order "
                   "of activities, no rest and no repair of bone. Damage adds up spot by spot round the "
                   "bone, by the range of "
                   "strain there over each step, whether tension or compression; published laws are of one "
                   "or the other."
                 : "How many loaded days the bone bears is not calculated; a case with several [[activity]] "
                   "tables compares whole days."},
      {true,
       "No measured metatarsal strain with a pad or a bar exists to compare with: the stress difference "
       "is a model result. Pressure relief is well documented, strain relief is not."},
      {true, std::string("Bending across the foot (peaks on the medial or lateral side) has one published "
                         "measurement to be checked by (ray 2's dorsal to ray 5's medial strain), which the "
                         "model meets; muscles that would resist it are left out.") +
                 (held.rays ? " Look at the dorsal and plantar peaks too." : "")},
      {true, "Ray 2's strain in push-off is what little is left between the ground's push and the pull of "
             "fascia and toe flexors. It hangs on the direction of that push: with half of the forward part, "
             "or half as much again, designs within 15 % of one another changed order (README). Vary "
             "activity.forward_share before trusting a small difference."},
      {true, over_bent_words({3, 5}) + " The validation table of the README has the numbers."},
      {held.rays, "Less strain in the painful ray is not less strain everywhere: read where the load goes "
                  "before choosing."},
  };
}

} // namespace

bool has_course(const ReportInput &input) {
  return std::any_of(input.outcomes.begin(), input.outcomes.end(),
                     [](const DesignOutcome &o) { return o.with_instants.size() > 1; });
}

std::vector<std::string> meaning_list(const TablesHeld &held) {
  std::vector<std::string> list;
  for (const auto &statements : {number_meanings(held), model_meanings(held)})
    for (const Statement &s : statements)
      if (s.wanted)
        list.push_back(s.words);
  return list;
}

std::string meaning_words(const TablesHeld &held) {
  std::string text = heading("What the numbers mean, and what they do not");
  for (const std::string &words : meaning_list(held))
    text += item(words);
  return text;
}

std::string files_part(const std::vector<std::string> &files) {
  std::string text = files.empty() ? "" : heading("Files");
  for (const std::string &name : files)
    text += item(name);
  return text;
}

std::string warnings_part(const std::vector<std::string> &warnings) {
  std::string text = heading("Warnings");
  if (warnings.empty())
    return text + "None.\n";
  text += "Letters: the designs, as in the ranking.\n\n";
  for (const std::string &w : warnings)
    text += item(w);
  return text;
}

std::string caution_words() {
  std::string text = heading("Cautions");
  for (const char *words : cautions)
    text += item(words);
  return text;
}

std::string files_in_short(const std::vector<std::string> &files) {
  std::vector<std::string> names;
  std::string missing;
  for (const std::string &name : files)
    if (name.rfind("no pictures", 0) == 0)
      missing += item(name);
    else
      names.push_back(name);
  return files.empty() ? "" : heading("Files") + missing + wrapped(list_of(names) + ".", 110) + "\n";
}

namespace {

/// One line a design: where its load goes and what is relieved.
std::string load_lines(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  std::string text;
  for (const RankedDesign &d : ranking)
    if (const auto &change = d.from_unsupported ? d.from_unsupported : d.from_reference)
      text += item(design_letter(d.place) +
                   (d.from_unsupported ? ", by its support elements: " : ", against the reference: ") +
                   load_line(*change, input.foot.painful_ray) + ".");
  return text.empty() ? "" : heading("Where the load goes") + text;
}

} // namespace

std::string opening_words(const ReportInput &input, const std::string &answer_heading, Answer said) {
  std::string text = title_words(input.title, input.date);
  if (!input.question.empty())
    text += heading("Question") + wrapped(one_line(input.question), 110) + "\n";
  if (is_coarse(input))
    said.points.push_back(resolution_words(input));
  return text + heading(answer_heading) + answer_part(said);
}

std::string summary_text(const ReportInput &input, const std::vector<RankedDesign> &ranking,
                         const std::vector<std::string> &files) {
  std::string text = opening_words(input, "Answer", answer(input, ranking)) + patient_words(input) +
                     activity_words(input) + changes_part(input);
  text += heading("Ranking by ray " + std::to_string(input.foot.painful_ray)) +
          wrapped("Largest strain along the bone between " + counted_words(input.foot) +
                      " of its length, value ± what the mesh leaves open, ue = microstrain; "
                      "changes of it against "
                      "the reference and against the same insole without its support elements.",
                  110) +
          "\n\n" + ranking_table(input, ranking) + load_lines(input, ranking);
  if (input.sure)
    text += sure_part(input, false);
  return text + warnings_part(report_warnings(input, ranking)) + caution_words() + files_in_short(files);
}

std::string details_text(const ReportInput &input, const std::vector<RankedDesign> &ranking,
                         const std::vector<std::string> &files) {
  std::string text = opening_words(input, "Answer", answer(input, ranking));
  text += patient_words(input) + heading("Activity") + activity_words(input) + designs_part(input) +
          changes_part(input);
  text += heading("Ranking by ray " + std::to_string(input.foot.painful_ray)) + ranking_note(input.foot) +
          ranking_table(input, ranking);
  if (input.sure)
    text += sure_part(input, true);
  text += warnings_part(report_warnings(input, ranking));

  for (const RankedDesign &d : ranking)
    text += design_section(input, d);
  text += meaning_words(
              {false, has_ray_tables(input), !change_table(input, ranking).empty(), has_course(input)}) +
          caution_words() + files_part(files);
  return text + lab_part({&input});
}

} // namespace raybend
