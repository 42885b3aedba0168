// Reads [activity], or [[activity]] for a day of several.
#include "cases/forefoot/day_reader.hpp"
#include "cases/catalogue/activities.hpp"
#include "cases/words/words.hpp"
#include <cmath>

namespace raybend {

namespace {

constexpr double usual_day_h = 16; // what eight hours of sleep leave (assumed)

DayActivity read_activity(TableReader &table, const bool one_of_several) {
  DayActivity day;
  const auto given_kind = table.text("kind");
  const std::string kind = given_kind.value_or(catalogue_row("activity.kind").default_words);
  day.activity = named_activity(kind).activity;
  day.name = table.label("name", "an activity name").value_or(table.has("kind") && !given_kind ? "" : kind);
  Activity &a = day.activity;
  const bool running = kind == "running-push-off";
  if (table.has("speed_m_s")) {
    if (!running)
      table.fault("speed_m_s", "belongs to running-push-off, not to " + kind);
    else if (table.has("force_bw"))
      table.fault("speed_m_s", "force_bw is given too; give one of the two");
    if (const auto speed = table.number("speed_m_s")) {
      a.force_bw = running_force_bw(*speed);
      table.log.derive(table.path("force_bw"), table.path("speed_m_s"));
    }
  }
  table.into(a);
  day.hours_per_day = table.number_or_default("hours_per_day");
  if (one_of_several && !table.has("hours_per_day")) {
    day.hours_per_day = std::nan("");
    table.fault("hours_per_day", "missing: each activity of a day says how long it lasts").allowed =
        catalogue_row("activity.hours_per_day").allowed_words();
  }
  if (!a.fascia && table.has("fascia_bw"))
    table.fault("fascia_bw", "the fascia is cut (fascia = false), so it has no tension");
  if (!a.flexors && table.has("flexor_effort"))
    table.fault("flexor_effort", "the flexors are cut (flexors = false), so they do not pull");
  table.refuse_unknown();
  return day;
}

std::string place_of(const std::size_t i) {
  return "activity[" + std::to_string(i + 1) + "]";
}

/// Names that differ, no more hours than a day has, and something to add up.
void check_day(TableReader &top, const std::vector<const toml::table *> &sources,
               const std::vector<DayActivity> &day) {
  for (std::size_t i = 0; i < day.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      if (!day[i].name.empty() && day[i].name == day[k].name) {
        TableReader here(top.log, sources[i], place_of(i), {"activity"});
        Fault &f = here.fault("name", place_of(k) + " has the same name");
        f.found = "\"" + printable(day[i].name) + "\"";
        f.allowed = "names that differ; without a name an activity has that of its kind";
        break;
      }
  double hours = 0, cycles = 0;
  for (std::size_t i = 0; i < day.size(); ++i) {
    TableReader here(top.log, sources[i], place_of(i), {"activity"});
    const double before = hours;
    hours += day[i].hours_per_day; // NaN after a fault: no comparison holds
    cycles += day[i].cycles();
    if (before <= 24 && hours > 24) {
      Fault &f = here.fault("hours_per_day", "with this activity the day has too many hours");
      f.found = number_text(hours) + " h in all";
      f.allowed = "at most 24 h";
    }
  }
  if (hours > usual_day_h && hours <= 24)
    top.log.warn("activity", top.line("activity"),
                 "the hours of the day's activities sum to " + number_text(hours) +
                     " h, more than the usual " + number_text(usual_day_h) + " h awake (assumed)");
  if (cycles == 0) {
    Fault &f =
        top.fault("activity",
                  "no activity of this day has both steps and hours, so there are no load cycles to add up");
    f.found = "0 load cycles";
    f.allowed = "steps_per_hour and hours_per_day above 0 for one activity at least";
  }
}

} // namespace

std::string activity_label(const toml::table &entry) {
  for (const char *key : {"name", "kind"})
    if (const toml::node *node = entry.get(key))
      return node->value<std::string>().value_or("?");
  return catalogue_row("activity.kind").default_words;
}

std::vector<DayActivity> read_day(TableReader &top, bool &is_list) {
  is_list = top.is_list("activity");
  if (!is_list) {
    TableReader table(top.log, top.sub_table("activity"), "activity", {"activity"});
    return {read_activity(table, false)};
  }
  std::vector<DayActivity> day;
  const std::size_t faults_before = top.log.faults.size();
  const auto sources = top.table_list("activity");
  for (std::size_t i = 0; i < sources.size(); ++i) {
    TableReader table(top.log, sources[i], place_of(i), {"activity"});
    day.push_back(read_activity(table, sources.size() > 1));
  }
  const std::string wanted = "one table [activity], or one to six [[activity]]";
  if (sources.empty() && top.log.faults.size() == faults_before) {
    Fault &f = top.fault("activity", "");
    f.found = "an empty list";
    f.allowed = wanted;
  } else if (sources.size() > 6) {
    Fault &f = top.fault("activity", "too many activities");
    f.found = std::to_string(sources.size());
    f.allowed = wanted;
  } else if (sources.size() > 1) {
    check_day(top, sources, day);
  }
  return day;
}

} // namespace raybend
