// Where the load goes and what is relieved, in words.
#include "postprocess/words/load_words.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <cmath>
#include <iterator>
#include <set>

namespace raybend {

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
                        LoadKind::shaft_force, LoadKind::shaft_pressure, LoadKind::toe_force})
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
  for (const LoadShift &s : most_changed(reliefs, LoadKind::toe_force))
    out.push_back(s);
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
  case LoadKind::toe_force:
    return {"toe ", " force ", " N"};
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
           " % (looked at: strain of the other rays, forces on heads, shafts and toes above " +
           fixed(felt_force) + " N, peak pressures above " + fixed(felt_pressure) + " kPa)";
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

Told told_shifts(const std::vector<LoadShift> &shifts) {
  const std::vector<LoadShift> told = strongest_shifts(shifts);
  return {told, told.size() == shifts.size()};
}

Told told_reliefs(const std::vector<LoadShift> &reliefs, const int painful_ray) {
  const std::vector<LoadShift> told = telling_reliefs(reliefs, painful_ray);
  return {told, told.size() == reliefs.size()};
}

/// Those beyond their band, and those without one.
std::vector<LoadShift> sure(const std::vector<LoadShift> &changes) {
  std::vector<LoadShift> out;
  std::copy_if(changes.begin(), changes.end(), std::back_inserter(out),
               [](const LoadShift &s) { return s.beyond_band.value_or(true); });
  return out;
}

} // namespace

std::string short_load_words(const Difference &d, const int painful_ray) {
  const Told shifts = told_shifts(d.shifts), reliefs = told_reliefs(d.reliefs, painful_ray);
  return (shifts.all ? "load goes to: " : "most load goes to: ") + shift_words(shifts.changes) +
         (reliefs.all ? "; relieved: " : "; relieved, among others: ") + relief_words(reliefs.changes) +
         (shifts.all && reliefs.all ? "." : ". All changes stand in the table above.");
}

std::vector<std::string> sure_load_sentences(const Difference &d, const int painful_ray,
                                             const std::string &verb) {
  const Told shifts = told_shifts(sure(d.shifts)), reliefs = told_reliefs(sure(d.reliefs), painful_ray);
  const std::string limit = " beyond " + fixed(notable_change_percent) + " % and its band.";
  return {reliefs.changes.empty()
              ? verb + " nothing" + limit
              : verb + (reliefs.all ? ": " : ", among others: ") + relief_words(reliefs.changes) + ".",
          shifts.changes.empty()
              ? "Load goes nowhere" + limit
              : (shifts.all ? "Load goes to: " : "Most load goes to: ") + shift_words(shifts.changes) + "."};
}

std::string load_line(const Difference &difference, const int painful_ray) {
  return "load goes to " + shift_words(strongest_shifts(difference.shifts)) +
         "; relieved: " + relief_words(telling_reliefs(difference.reliefs, painful_ray));
}

} // namespace raybend
