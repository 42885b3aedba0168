#include "postprocess/answer.hpp"
#include "postprocess/number_text.hpp"
#include "postprocess/text_table.hpp"
#include <algorithm>
#include <cctype>
#include <cmath>
#include <iterator>
#include <set>

namespace raybend {

namespace {

std::string quoted(const ReportInput &input, std::size_t place) {
  return "\"" + one_line(input.outcomes[place].name_for_people()) + "\"";
}

std::string change_words(const Banded &percent) {
  const Banded size{std::abs(percent.value), percent.band};
  return banded(size, percent_digits(percent)) + " % " + (percent.value < 0 ? "less" : "more");
}

/// "compression on the medial side"
std::string place_of_peak(const RayResult &ray) {
  return std::string(ray.peak_strain_tensile ? "tension" : "compression") + " on the " +
         side_words(ray.peak_strain_towards) + " side";
}

std::string first_sentence(const ReportInput &input, const RankedDesign &best) {
  const std::size_t reference = reference_place(input);
  const bool all = std::all_of(input.outcomes.begin(), input.outcomes.end(),
                               [](const DesignOutcome &o) { return o.with.converged; });
  std::string text = (all ? "" : "Of the designs that converged, ") + quoted(input, best.place) +
                     " leaves the least strain in ray " + std::to_string(input.foot.painful_ray) + ", " +
                     banded(best.strain) + " microstrain (" +
                     place_of_peak(input.outcomes[best.place].with.ray[input.foot.painful_ray - 1]) + ")";
  if (best.from_reference)
    text +=
        ", " + change_words(best.from_reference->percent) + " than the reference " + quoted(input, reference);
  else if (best.place == reference)
    text += "; it is the reference itself";
  if (!best.not_told_apart.empty()) {
    std::vector<std::string> names;
    for (std::size_t place : best.not_told_apart)
      names.push_back(quoted(input, place));
    text += ", but this mesh cannot tell it apart from " + list_of(names);
  }
  return text + ".";
}

} // namespace

std::string list_of(const std::vector<std::string> &items) {
  std::string out;
  for (std::size_t i = 0; i < items.size(); ++i)
    out += (i == 0 ? "" : i + 1 == items.size() ? " and " : ", ") + items[i];
  return out;
}

namespace {

constexpr std::size_t many_shafts = 3; ///< from here on their forces are told together

std::vector<LoadShift> of_kind(const std::vector<LoadShift> &shifts, const LoadKind kind) {
  std::vector<LoadShift> out;
  std::copy_if(shifts.begin(), shifts.end(), std::back_inserter(out),
               [kind](const LoadShift &s) { return s.kind == kind; });
  return out;
}

/// The one that changes most; of the shafts' forces all, where they are many.
std::vector<LoadShift> most_changed(const std::vector<LoadShift> &shifts, const LoadKind kind) {
  const std::vector<LoadShift> all = of_kind(shifts, kind);
  if (all.empty() || (kind == LoadKind::shaft_force && all.size() >= many_shafts))
    return all;
  return {*std::max_element(all.begin(), all.end(), [](const LoadShift &a, const LoadShift &b) {
    return std::abs(a.after - a.before) < std::abs(b.after - b.before);
  })};
}

} // namespace

std::vector<LoadShift> strongest_shifts(const std::vector<LoadShift> &shifts) {
  std::vector<LoadShift> out;
  for (LoadKind kind : {LoadKind::ray_strain, LoadKind::head_force, LoadKind::head_pressure,
                        LoadKind::shaft_force, LoadKind::shaft_pressure})
    for (const LoadShift &s : most_changed(shifts, kind))
      out.push_back(s);
  return out;
}

std::vector<LoadShift> telling_reliefs(const std::vector<LoadShift> &reliefs, const int painful_ray) {
  const auto most = [&reliefs](LoadKind kind) {
    const std::vector<LoadShift> one = most_changed(reliefs, kind);
    return one.empty() ? 0 : one.front().ray;
  };
  const int by_force = most(LoadKind::head_force);
  const int other_head = by_force != 0 ? by_force : most(LoadKind::head_pressure);
  const int other_ray = most(LoadKind::ray_strain);
  std::vector<LoadShift> out;
  const auto add = [&](LoadKind kind, int ray) {
    for (const LoadShift &s : reliefs)
      if (s.kind == kind && s.ray == ray)
        out.push_back(s);
  };
  std::set<int> named;
  for (const int head : {painful_ray, other_head})
    if (named.insert(head).second)
      for (const LoadKind kind : {LoadKind::head_force, LoadKind::head_pressure})
        add(kind, head);
  add(LoadKind::ray_strain, other_ray);
  if (out.empty()) // then only skin behind the heads carries less
    for (const LoadKind kind : {LoadKind::shaft_force, LoadKind::shaft_pressure})
      for (const LoadShift &s : most_changed(reliefs, kind))
        out.push_back(s);
  return out;
}

namespace {

/// What is looked at of a place: "head 2 pressure", and its unit.
struct PlaceName {
  const char *place, *quantity, *unit;
};
PlaceName place_name(const LoadKind kind) {
  switch (kind) {
  case LoadKind::ray_strain:
    return {"ray ", " strain ", " ue"};
  case LoadKind::head_force:
    return {"head ", " force ", " N"};
  case LoadKind::head_pressure:
    return {"head ", " pressure ", " kPa"};
  case LoadKind::shaft_force:
    return {"shaft ", " force ", " N"};
  case LoadKind::shaft_pressure:
    break;
  }
  return {"shaft ", " pressure ", " kPa"};
}

/// "head 2 pressure 250 to 200 kPa (-20 %)"
std::string change_of_place(const LoadShift &s) {
  const PlaceName name = place_name(s.kind);
  const bool within = !s.beyond_band.value_or(true);
  const std::string text = name.place + std::to_string(s.ray) + name.quantity + fixed(s.before) + " to " +
                           fixed(s.after) + name.unit;
  // From next to nothing a percentage is only a large number.
  if (std::isfinite(s.percent) && s.percent < 1000)
    return text + " (" + signed_fixed(s.percent) + " %" + (within ? ", within the bands)" : ")");
  return within ? text + " (within the bands)" : text;
}

/// "1 to 5", "1, 3 and 4"
std::string ray_numbers(const std::vector<LoadShift> &places) {
  const int first = places.front().ray, last = places.back().ray;
  if (last - first + 1 == static_cast<int>(places.size()))
    return std::to_string(first) + " to " + std::to_string(last);
  std::vector<std::string> numbers;
  for (const LoadShift &s : places)
    numbers.push_back(std::to_string(s.ray));
  return list_of(numbers);
}

/// "force on the shafts of rays 1 to 5 together from 63 to 113 N (+79 %)"; of rays in rising order.
std::string change_of_shafts(const std::vector<LoadShift> &shafts) {
  double before = 0, after = 0;
  for (const LoadShift &s : shafts) {
    before += s.before;
    after += s.after;
  }
  const double percent = percent_change({after}, {before}).value;
  return "force on the shafts of rays " + ray_numbers(shafts) + " together from " + fixed(before) + " to " +
         fixed(after) + " N" +
         (std::isfinite(percent) && percent < 1000 ? " (" + signed_fixed(percent) + " %)" : "");
}

std::string places_words(const std::vector<LoadShift> &places, const std::string &none) {
  if (places.empty())
    return none + " by more than " + fixed(notable_change_percent) +
           " % (looked at: strain of the other rays, forces on heads and shafts above " + fixed(felt_force) +
           " N, peak pressures above " + fixed(felt_pressure) + " kPa)";
  const std::vector<LoadShift> shafts = of_kind(places, LoadKind::shaft_force);
  const bool together = shafts.size() >= many_shafts;
  std::vector<std::string> items;
  for (const LoadShift &s : places)
    if (!together || s.kind != LoadKind::shaft_force)
      items.push_back(change_of_place(s));
    else if (s.ray == shafts.front().ray)
      items.push_back(change_of_shafts(shafts));
  return list_of(items);
}

} // namespace

std::string shift_words(const std::vector<LoadShift> &shifts) {
  return places_words(shifts, "nowhere");
}

std::string relief_words(const std::vector<LoadShift> &reliefs) {
  return places_words(reliefs, "nothing");
}

std::string load_words(const Difference &d) {
  return "load goes to: " + shift_words(d.shifts) + "; relieved: " + relief_words(d.reliefs) + ".";
}

namespace {

/// What is told of changes in short.
struct Told {
  std::vector<LoadShift> changes;
  bool all; ///< there are no others
};

Told told_shifts(const Difference &d) {
  const std::vector<LoadShift> told = strongest_shifts(d.shifts);
  return {told, told.size() == d.shifts.size()};
}

Told told_reliefs(const Difference &d, const int painful_ray) {
  const std::vector<LoadShift> told = telling_reliefs(d.reliefs, painful_ray);
  return {told, told.size() == d.reliefs.size()};
}

/// "relieve: ...; load goes to: ...", with "among others" where there are others.
std::string short_reason(const ReportInput &input, const std::string &verb, const Difference &d) {
  const Told reliefs = told_reliefs(d, input.foot.painful_ray), shifts = told_shifts(d);
  return verb + (reliefs.all ? ": " : ", among others: ") + relief_words(reliefs.changes) +
         (shifts.all ? "; load goes to: " : "; most load goes to: ") + shift_words(shifts.changes) + ".";
}

} // namespace

std::string short_load_words(const Difference &d, const int painful_ray) {
  const Told shifts = told_shifts(d), reliefs = told_reliefs(d, painful_ray);
  return (shifts.all ? "load goes to: " : "most load goes to: ") + shift_words(shifts.changes) +
         (reliefs.all ? "; relieved: " : "; relieved, among others: ") + relief_words(reliefs.changes) +
         (shifts.all && reliefs.all ? "." : ". All changes stand in the table above.");
}

std::string reason_words(const ReportInput &input, const RankedDesign &best) {
  if (const auto &d = best.from_unsupported)
    return "its support elements change the peak strain of ray " + std::to_string(input.foot.painful_ray) +
           " by " + signed_banded(d->percent, percent_digits(d->percent)) + " %" +
           (d->told_apart ? "" : " (not told apart from no change at this mesh)") + ". " +
           short_reason(input, "They relieve", *d);
  // There is no difference to no support elements, because it has none or because that solve failed.
  const std::size_t reference = reference_place(input);
  const bool failed = input.outcomes[best.place].has_support();
  const std::string text =
      failed ? "its solve without its support elements did not converge" : "it has no support elements";
  if (best.from_reference)
    return text + "; compared with the reference " + quoted(input, reference) +
           short_reason(input, failed ? ", the design relieves" : ", it relieves", *best.from_reference);
  if (best.place != reference)
    return text + (failed ? ", nor did the reference " : ", and the reference ") + quoted(input, reference) +
           (failed ? "" : " did not converge") + ": what the design relieves and loads cannot be said.";
  return text + (failed ? ", and the design" : " and") +
         " is the reference: what the others relieve and load is told further down.";
}

namespace {

constexpr double failing_strain =
    4000; // ue: rapid loss of modulus in fatigue tests (Pattin 1996, from memory)

/// "ray 3 with 5008 ue", ...
std::vector<std::string> overstrained(const DesignResult &result) {
  std::vector<std::string> list;
  for (int r = 1; r <= 5; ++r)
    if (const double strain = result.ray[r - 1].peak_strain.value; strain > failing_strain)
      list.push_back("ray " + std::to_string(r) + " with " + fixed(strain) + " ue");
  return list;
}

} // namespace

std::string side_words(double towards) {
  static const char *const names[] = {"dorsal",  "dorsomedial",   "medial",  "plantomedial",
                                      "plantar", "plantolateral", "lateral", "dorsolateral"};
  const long sector = std::lround(towards / 45);
  return names[((sector % 8) + 8) % 8];
}

std::string answer(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  if (ranking.empty() || !ranking.front().ranked)
    return "No design converged, so there is no answer. The warnings below say why.";
  std::string reason = reason_words(input, ranking.front());
  reason[0] = static_cast<char>(std::toupper(reason[0]));
  std::string text = first_sentence(input, ranking.front()) + " " + reason;
  if (const auto strained = overstrained(input.outcomes[ranking.front().place].with); !strained.empty())
    text += " But with it " + list_of(strained) + (strained.size() > 1 ? " are" : " is") + " beyond " +
            fixed(failing_strain) +
            " microstrain, which bone bears for some thousand cycles only: see the warnings.";
  return text;
}

double balance_error(const DesignResult &result) {
  const double missing = std::abs(result.applied_force - result.ground_force);
  return result.applied_force == 0 ? missing : missing / std::abs(result.applied_force);
}

double moment_error(const DesignResult &result) {
  double worst = 0;
  for (const RayResult &ray : result.ray) {
    double largest = 0, difference = 0;
    bool evaluated = false;
    for (const StationResult &s : ray.shaft) {
      if (s.fraction < shaft_from || s.fraction > shaft_to)
        continue;
      evaluated |= s.statics_moment_sagittal != 0;
      largest = std::max(largest, std::abs(s.moment_sagittal));
      difference = std::max(difference, std::abs(s.moment_sagittal - s.statics_moment_sagittal));
    }
    if (evaluated && largest > 0)
      worst = std::max(worst, difference / largest);
  }
  return worst;
}

namespace {

void check_solve(std::vector<std::string> &list, const std::string &name, const DesignResult &result) {
  if (!result.converged) {
    list.push_back(name + " did not converge and is not ranked" +
                   (result.message.empty() ? "." : ": " + one_line(result.message)));
    return;
  }
  if (const double error = balance_error(result); !(error <= balance_limit))
    list.push_back(name + ": the ground returns " + fixed(result.ground_force, 3) + " N of " +
                   fixed(result.applied_force, 3) + " N applied (" + fixed(100 * error, 5) +
                   " % missing); its numbers are not in balance.");
  if (const double error = moment_error(result); !(error <= moment_limit))
    list.push_back(
        name + ": section moments differ from statics by up to " + fixed(100 * error, 1) +
        " % of the ray's largest. Both come from the same nodal forces and agree on any mesh, as far as the "
        "solve is in balance: do not use its moments; try another resolution, and keep the case as "
        "an example of a fault in the program.");
}

// Numbers beyond what has been measured, and what the ranking does not see.
std::vector<std::string> plausibility(const DesignOutcome &o) {
  constexpr double most_pressed = 0.55; // walking: 35 to 55 % (Cavanagh 1999, read)
  std::vector<std::string> list, pressed;
  const std::vector<std::string> strained = overstrained(o.with);
  for (int r = 0; r < 5; ++r) {
    const RayResult &ray = o.with.ray[r];
    if (ray.tissue_compression > most_pressed)
      pressed.push_back(fixed(100 * ray.tissue_compression) + " % under head " + std::to_string(r + 1));
  }
  if (!strained.empty())
    list.push_back(list_of(strained) + ": beyond " + fixed(failing_strain) +
                   " ue, bone in fatigue tests fails within some thousand cycles "
                   "(Pattin 1996, from memory). Load, foot or model is out of its range.");
  if (!pressed.empty())
    list.push_back("tissue compressed by " + list_of(pressed) +
                   ", beyond the 35 to 55 % published for walking.");
  return list;
}

} // namespace

std::vector<std::string> solve_warnings(const ReportInput &input) {
  std::vector<std::string> list;
  for (const DesignOutcome &o : input.outcomes) {
    const std::string name = "\"" + one_line(o.name_for_people()) + "\"";
    check_solve(list, name, o.with);
    if (o.has_support())
      check_solve(list, name + " without its support elements", o.without);
    if (o.with.converged)
      for (const std::string &w : plausibility(o))
        list.push_back(name + ": " + w);
  }
  return list;
}

bool is_coarse(const ReportInput &input) {
  const ReportInput::Resolved *r = input.find("mesh.resolution");
  return r != nullptr && r->value == "coarse";
}

std::vector<std::string> resolution_warnings(const ReportInput &input) {
  if (is_coarse(input))
    return {"Coarse resolution, for a first look: bands are an assumed 20 %, not measured. Use standard "
            "resolution to rank designs."};
  return {};
}

std::vector<std::string> end_warnings(const ReportInput &input) {
  const std::string ray = std::to_string(input.foot.painful_ray);
  std::vector<std::string> cut;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i)
    if (const DesignResult &r = input.outcomes[i].with;
        r.converged && r.ray[input.foot.painful_ray - 1].peak_strain_at_end)
      cut.push_back(quoted(input, i));
  if (cut.empty())
    return {};
  return {"The largest strain of ray " + ray +
          " stands at the first or last cut that counts (15 to 85 % of "
          "the length) with " +
          list_of(cut) +
          ": nearer the joint it may be larger still (shaft.csv has "
          "every cut)."};
}

std::vector<std::string> report_warnings(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  std::vector<std::string> list;
  for (const std::string &w : input.warnings)
    list.push_back(one_line(w));
  for (const std::string &w : resolution_warnings(input))
    list.push_back(w);
  for (const std::string &w : solve_warnings(input))
    list.push_back(w);
  for (const std::string &w : end_warnings(input))
    list.push_back(w);
  std::vector<std::string> open; // "A" from "B" and "C"
  for (const RankedDesign &d : ranking) {
    std::vector<std::string> others;
    for (std::size_t other : d.not_told_apart)
      if (d.place < other)
        others.push_back(quoted(input, other));
    if (!others.empty())
      open.push_back(quoted(input, d.place) + " from " + list_of(others));
  }
  if (!open.empty()) {
    std::string text = "Not told apart at this mesh, because the difference is smaller than its own band: ";
    for (std::size_t i = 0; i < open.size(); ++i)
      text += (i > 0 ? "; " : "") + open[i];
    list.push_back(text + ". A finer resolution may separate them.");
  }
  for (const RankedDesign &d : ranking)
    if (d.from_unsupported && !d.from_unsupported->told_apart)
      list.push_back(quoted(input, d.place) + ": the effect of its support elements on ray " +
                     std::to_string(input.foot.painful_ray) + " is smaller than its band.");
  return list;
}

} // namespace raybend
