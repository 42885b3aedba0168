// Reads [activity], or [[activity]] for a day of several.
#include "cases/forefoot/day_reader.hpp"
#include "cases/catalogue/activities.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace raybend {

namespace {

constexpr double usual_day_h = 16; // what eight hours of sleep leave (assumed)

/// A course of one's own: a list [[activity.course]], one entry an instant in the order of stance.
std::vector<Activity> read_course(TableReader &table, const Activity &common, std::vector<double> &first) {
  std::vector<Activity> course;
  const auto rows = table.table_list("course");
  for (std::size_t i = 0; i < rows.size(); ++i) {
    TableReader row(table.log, rows[i], table.path("course") + "[" + std::to_string(i + 1) + "]",
                    {"activity.course[]"});
    Activity a = common;
    a.stance_percent = row.number("stance_percent").value_or(0);
    if (row.boolean("solve_first").value_or(false))
      first.push_back(a.stance_percent);
    row.number_into("force_bw", a.force_bw);
    row.number_into("forward_share", a.forward_share);
    row.number_into("heel_rise_deg", a.heel_rise_deg);
    row.number_into("toe_share", a.toe_share);
    row.number_into("fascia_bw", a.fascia_bw);
    row.number_into("flexor_effort", a.flexor_effort);
    row.refuse_unknown();
    if (!course.empty() && !(a.stance_percent > course.back().stance_percent))
      row.fault("stance_percent", "the entries stand in the order of stance, each later than the one before")
          .found = number_text(a.stance_percent) + " after " + number_text(course.back().stance_percent);
    course.push_back(a);
  }
  return course;
}

/// Force curve of a laboratory: a CSV file beside the case. Its first line names the columns as [[activity.course]] names
/// its keys; stance_percent and force_bw must be among them.
std::vector<Activity> read_course_file(TableReader &table, const std::string &name, const Activity &common) {
  const std::string path = (std::filesystem::path(table.log.file).parent_path() / name).string();
  const auto refuse = [&](const int line, const std::string &problem) {
    Fault &f = table.fault("course_file", problem);
    f.found = "\"" + printable(name) + "\"" + (line > 0 ? ", line " + std::to_string(line) : "");
    return std::vector<Activity>();
  };
  static const std::vector<std::pair<std::string, double Activity::*>> columns = {
      {"stance_percent", &Activity::stance_percent}, {"force_bw", &Activity::force_bw},
      {"forward_share", &Activity::forward_share},   {"heel_rise_deg", &Activity::heel_rise_deg},
      {"toe_share", &Activity::toe_share},           {"fascia_bw", &Activity::fascia_bw},
      {"flexor_effort", &Activity::flexor_effort}};
  std::ifstream file(path);
  if (!file)
    return refuse(0, "cannot read the file");
  std::vector<double Activity::*> order;
  std::vector<Activity> course;
  int number = 0;
  constexpr int most_lines = 2000;
  for (std::string line; std::getline(file, line) && number <= most_lines;) {
    ++number;
    if (!line.empty() && line.back() == '\r')
      line.pop_back();
    if (line.empty())
      continue;
    Activity a = common;
    std::istringstream cells(line);
    std::size_t i = 0;
    for (std::string cell; std::getline(cells, cell, ','); ++i) {
      if (number == 1) {
        const auto known =
            std::find_if(columns.begin(), columns.end(), [&](const auto &c) { return c.first == cell; });
        if (known == columns.end())
          return refuse(1, "unknown column \"" + printable(cell) +
                               "\"; allowed stance_percent, force_bw, forward_share, "
                               "heel_rise_deg, toe_share, fascia_bw, flexor_effort, separated by commas");
        order.push_back(known->second);
        continue;
      }
      const auto &row = [&]() -> const CatalogueRow & {
        for (const auto &[key, member] : columns)
          if (i < order.size() && member == order[i])
            return catalogue_row("activity.course[]." + key);
        return catalogue_row("activity.course[].stance_percent");
      }();
      char *end = nullptr;
      const double value = std::strtod(cell.c_str(), &end);
      if (i >= order.size() || end == cell.c_str() || *end || !row.allowed.holds(value))
        return refuse(number, i >= order.size()
                                  ? "a cell too many"
                                  : "\"" + printable(cell) + "\" in column " + std::to_string(i + 1) +
                                        "; allowed " + row.allowed_words());
      a.*order[i] = value;
    }
    if (number == 1) {
      for (std::size_t needed = 0; needed < 2; ++needed)
        if (std::find(order.begin(), order.end(), columns[needed].second) == order.end())
          return refuse(1, "the column " + columns[needed].first + " is missing");
      continue;
    }
    if (i < order.size())
      return refuse(number, "a cell is missing");
    if (!course.empty() && !(a.stance_percent > course.back().stance_percent))
      return refuse(number, "stance_percent must grow from line to line");
    course.push_back(a);
  }
  if (course.empty() || number > most_lines)
    return refuse(number, course.empty() ? "no line of numbers" : "more than 2000 lines");
  return course;
}

/// First instants of a course of one's own: the middle of its rows about the largest force, at most three.
std::vector<std::size_t> first_instants(const std::vector<Activity> &course,
                                        const std::vector<double> &stance) {
  std::vector<std::size_t> first;
  const auto nearest = [&](const double at) {
    std::size_t best = 0;
    for (std::size_t i = 0; i < course.size(); ++i)
      if (std::abs(course[i].stance_percent - at) < std::abs(course[best].stance_percent - at))
        best = i;
    return best;
  };
  for (const double at : stance)
    if (const std::size_t i = nearest(at); std::find(first.begin(), first.end(), i) == first.end())
      first.push_back(i);
  std::sort(first.begin(), first.end());
  return first;
}

/// Numbers of an activity that a course has over stance.
constexpr double Activity::*over_stance[] = {
    &Activity::force_bw,  &Activity::forward_share, &Activity::heel_rise_deg, &Activity::toe_share,
    &Activity::fascia_bw, &Activity::flexor_effort, &Activity::stance_percent};

/// Makes a course of `rows` what is solved; force_bw, fascia_bw and flexor_effort, where given, scale it: the largest
/// force, the largest tension, the effort where the flexors pull most.
void take_course(TableReader &table, DayActivity &day, std::vector<Activity> rows,
                 const std::vector<double> &first) {
  Activity given = rows.front();
  table.into(given);
  const auto scale = [&](const char *key, double Activity::*member, const auto &size) {
    if (!table.has(key))
      return;
    const auto most = std::max_element(
        rows.begin(), rows.end(), [&](const Activity &a, const Activity &b) { return size(a) < size(b); });
    const double now = (*most).*member;
    for (Activity &a : rows)
      a.*member = now > 0 ? a.*member * given.*member / now : given.*member;
  };
  scale("force_bw", &Activity::force_bw, [](const Activity &a) { return a.force_bw; });
  scale("fascia_bw", &Activity::fascia_bw, [](const Activity &a) { return a.fascia_bw; });
  scale("flexor_effort", &Activity::flexor_effort,
        [](const Activity &a) { return a.force_bw * a.toe_share * a.flexor_effort; });
  for (Activity &a : rows) { // all else is one for the whole step
    Activity whole = given;
    for (double Activity::*number : over_stance)
      whole.*number = a.*number;
    a = whole;
  }
  day.course = course_instants(rows);
  if (day.course.empty())
    day.course = rows;
  day.activity = *std::max_element(
      rows.begin(), rows.end(), [](const Activity &a, const Activity &b) { return a.force_bw < b.force_bw; });
  const double peak = day.activity.stance_percent;
  day.first =
      first_instants(day.course, first.empty() ? std::vector<double>{peak - 5, peak, peak + 5} : first);
}

DayActivity read_activity(TableReader &table, const bool one_of_several) {
  DayActivity day;
  const auto given_kind = table.text("kind");
  const std::string kind = given_kind.value_or(catalogue_row("activity.kind").default_words);
  const NamedActivity &named = named_activity(kind);
  day.activity = named.activity;
  day.name = table.label("name", "an activity name").value_or(table.has("kind") && !given_kind ? "" : kind);
  std::vector<Activity> rows = named.course;
  const bool running = kind == "running" || kind == "running-forefoot",
             walking = kind == "walking" || kind == "carrying";
  if (table.has("speed_m_s")) {
    if (!running && !walking)
      table.fault("speed_m_s", "belongs to walking, carrying and running, not to " + kind);
    else if (table.has("force_bw"))
      table.fault("speed_m_s", "force_bw is given too; give one of the two");
    if (const auto speed = table.number("speed_m_s")) {
      if (walking && *speed > 2.5)
        table.fault("speed_m_s", "too fast for walking").found = number_text(*speed) + " m/s";
      const double factor = running ? running_force_bw(*speed) / named.activity.force_bw : 1;
      rows = walking ? at_walking_speed(rows, *speed) : rows;
      for (Activity &a : rows)
        a.force_bw *= factor;
      table.log.derive(table.path("force_bw"), table.path("speed_m_s"));
    }
  }
  std::vector<double> first = named.first; // per cent of stance
  if (table.has("course") || table.has("course_file")) {
    first.clear();
    if (table.has("course") && table.has("course_file"))
      table.fault("course_file", "a list [[activity.course]] is given too; give one of the two");
    rows = table.has("course") ? read_course(table, named.activity, first) : std::vector<Activity>();
    if (const auto file = table.text("course_file"); file && rows.empty())
      rows = read_course_file(table, *file, named.activity);
  }
  const auto at = table.number("at_percent");
  if (at && rows.empty())
    table.fault("at_percent", "has no effect: " + kind + " is one instant");
  if (!rows.empty() && !at) {
    for (const char *key : {"heel_rise_deg", "forward_share", "toe_share"})
      if (table.has(key))
        table.fault(key, "belongs to one instant, and " + kind +
                             " is a whole step; give at_percent beside it, or a list "
                             "[[activity.course]]");
    take_course(table, day, rows, first);
  } else {
    if (at && !rows.empty()) {
      const double from = rows.front().stance_percent, to = rows.back().stance_percent;
      if (*at < from || *at > to) {
        Fault &f = table.fault("at_percent", "outside the course of " + kind +
                                                 ", which is known while the forefoot bears the load");
        f.found = number_text(*at);
        f.allowed = number_text(from) + " to " + number_text(to) + " % of stance";
      }
      day.activity = course_at(rows, *at);
    }
    table.into(day.activity);
  }
  day.hours_per_day = table.number_or_default("hours_per_day");
  if (one_of_several && !table.has("hours_per_day")) {
    day.hours_per_day = std::nan("");
    table.fault("hours_per_day", "missing: each activity of a day says how long it lasts").allowed =
        catalogue_row("activity.hours_per_day").allowed_words();
  }
  const Activity &a = day.activity;
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
