// Named activities: what one forefoot carries at the instant that bends the metatarsals most.
#include "cases/catalogue/activities.hpp"
#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace raybend {

namespace {

struct Row {
  const char *name;
  double force_bw, toe_share, heel_rise_deg, forward_share, fascia_bw, flexor_effort;
  double steps_per_hour; // both feet
  double carried_kg;
  const char *meaning, *source;
};

/// A row of a course over stance.
struct CourseRow {
  double stance, force_bw, forward_share, heel_rise_deg, toe_share;
  double fascia;  ///< tension before elongation, part of its largest
  double flexors; ///< pull of the toe flexors, part of that at the row of the largest
};

struct CourseKind {
  const char *name;
  double fascia_bw, flexor_effort, steps_per_hour, carried_kg;
  double force_factor; ///< on every row's force
  std::vector<double> first;
  std::vector<CourseRow> rows;
  const char *meaning, *source;
  bool free_roll = true; ///< of the reference; false: held by muscles
};

NamedActivity of_course(const CourseKind &kind) {
  NamedActivity n;
  Activity common;
  common.name = kind.name;
  common.flexor_effort = kind.flexor_effort;
  common.steps_per_hour = kind.steps_per_hour;
  common.carried_kg = kind.carried_kg;
  common.free_roll = kind.free_roll;
  for (const CourseRow &row : kind.rows) {
    Activity a = common;
    a.stance_percent = row.stance;
    a.force_bw = kind.force_factor * row.force_bw;
    a.forward_share = row.forward_share;
    a.heel_rise_deg = row.heel_rise_deg;
    a.toe_share = row.toe_share;
    a.fascia_bw = kind.fascia_bw * row.fascia;
    n.course.push_back(a);
  }
  // The effort counts over what the toes' load asks for; it is so that the pull follows the rows.
  double full = 0; // toes' load in body weights where the flexors pull most
  for (const CourseRow &row : kind.rows)
    if (row.flexors == 1)
      full = std::max(full, row.force_bw * row.toe_share);
  for (std::size_t i = 0; i < kind.rows.size(); ++i)
    n.course[i].flexor_effort =
        kind.flexor_effort * kind.rows[i].flexors * full / (kind.rows[i].force_bw * kind.rows[i].toe_share);
  n.first = kind.first;
  n.activity = *std::max_element(n.course.begin(), n.course.end(), [](const Activity &a, const Activity &b) {
    return a.force_bw < b.force_bw;
  });
  n.meaning = kind.meaning;
  n.source = kind.source;
  return n;
}

// Stance %, vertical force on forefoot and toes in body weights, its forward part, heel rise deg, toes' part, fascia.
// Walking: two people, shod, computed from public measurements; at 60 % a quarter is still under the heel (platform
// example, heel leaves at 70 %). Fascia in proportion to the Achilles force (from memory, shaky).
// The toe flexors pull from mid-stance to toe-off (gait texts, from memory; course assumed).
const std::vector<CourseRow> walking_rows = {
    {60, 0.70, 0.02, 2, 0.05, 0.60, 0.70},  {65, 0.88, 0.05, 3, 0.065, 0.70, 0.80},
    {70, 1.08, 0.08, 5, 0.08, 0.82, 0.90},  {75, 1.10, 0.115, 8, 0.115, 0.90, 0.97},
    {80, 1.05, 0.16, 13, 0.14, 1.00, 1.00}, {85, 0.88, 0.22, 22, 0.175, 0.85, 0.85},
    {90, 0.55, 0.27, 35, 0.20, 0.55, 0.45}};
// Running, rearfoot landing: one runner, 14 steps. The forefoot's part of the force follows from the centre of pressure
// (0.65 of the foot's length at 30 %, 0.77 at 40 %).
const std::vector<CourseRow> running_rows = {
    {30, 1.40, -0.16, 0, 0.03, 0.80, 0.80},   {37, 2.10, -0.10, 0.5, 0.05, 0.90, 0.90},
    {44, 2.60, -0.04, 1.3, 0.08, 1.00, 1.00}, {50, 2.50, -0.01, 2, 0.10, 1.00, 1.00},
    {55, 2.40, 0.02, 3.5, 0.12, 0.98, 1.00},  {60, 2.10, 0.06, 6, 0.14, 0.92, 0.95},
    {65, 1.80, 0.11, 10.5, 0.16, 0.82, 0.90}, {70, 1.40, 0.185, 16, 0.18, 0.70, 0.80},
    {75, 1.05, 0.26, 22, 0.20, 0.55, 0.70}};
// Landing on the forefoot: one runner.
const std::vector<CourseRow> forefoot_rows = {
    {20, 1.90, -0.10, 3, 0.03, 0.80, 0.80}, {30, 2.20, -0.06, 3, 0.05, 0.90, 0.90},
    {45, 2.45, 0.02, 3, 0.08, 1.00, 1.00},  {60, 2.00, 0.12, 14, 0.14, 0.92, 0.95},
    {70, 1.42, 0.21, 18, 0.18, 0.72, 0.80}, {75, 1.10, 0.26, 29, 0.20, 0.55, 0.70}};
const std::vector<CourseRow> stairs_up_rows = {{50, 0.75, 0, 0, 0.05, 0.55, 0.60},
                                               {60, 0.90, 0.02, 3, 0.08, 0.70, 0.75},
                                               {70, 1.05, 0.03, 8, 0.12, 0.90, 0.90},
                                               {80, 1.10, 0.04, 14, 0.15, 1.00, 1.00},
                                               {90, 0.60, 0.05, 25, 0.18, 0.70, 0.80}};
const std::vector<CourseRow> stairs_down_rows = {{5, 0.80, 0, 20, 0.10, 0.60, 0.70},
                                                 {12, 1.30, 0.02, 15, 0.10, 0.80, 1.00},
                                                 {20, 1.10, 0.02, 8, 0.08, 0.70, 0.90},
                                                 {35, 0.60, 0.01, 2, 0.05, 0.45, 0.60},
                                                 {80, 0.85, 0.06, 15, 0.12, 0.80, 0.90}};

NamedActivity named(const Row &row) {
  NamedActivity n;
  n.activity.name = row.name;
  n.activity.force_bw = row.force_bw;
  n.activity.toe_share = row.toe_share;
  n.activity.heel_rise_deg = row.heel_rise_deg;
  n.activity.forward_share = row.forward_share;
  n.activity.fascia_bw = row.fascia_bw;
  n.activity.flexor_effort = row.flexor_effort;
  n.activity.steps_per_hour = row.steps_per_hour;
  n.activity.carried_kg = row.carried_kg;
  n.meaning = row.meaning;
  n.source = row.source;
  return n;
}

} // namespace

const std::vector<NamedActivity> &named_activities() {
  static const Row rows[] = {
      // force BW, toe share, heel rise deg, forward share, fascia BW, flexor effort, steps an hour, carried kg
      {"standing", 0.25, 0.08, 0, 0, 0.10, 1, 0, 0,
       "Quiet standing on both feet, half of each foot's load on the forefoot.", "assumed"},
      {"walking-mid-stance", 0.55, 0.10, 0, 0, 0.35, 1, 1600, 0,
       "One foot flat on the ground, half of the load on the forefoot.",
       "assumed; steps: ACE / U Wisconsin 2007, custodian 1624 an hour (read)"},
      {"walking-push-off", 1.05, 0.14, 13, 0.16, 1.5, 3.35, 1600, 0,
       "One instant of walking, 80 % of stance: all load on forefoot and toes, the heads' pressure at its "
       "peak.",
       "force, forward part, heel rise, toe share: two people, shod (computed from public measurements); "
       "fascia and "
       "flexors: see `raybend explain walking`; steps: ACE / U Wisconsin 2007 (read)"},
  };
  static const std::vector<NamedActivity> table = [] {
    std::vector<NamedActivity> all;
    const char *const walking_source =
        "force, forward part, heel rise, toe share: two people, shod "
        "(computed from public measurements); fascia: "
        "follows the Achilles force (from memory, shaky), whole tension 0.96 "
        "+- 0.36 body weights, Erdemir 2004 (read), 1.5, Caravaggi 2009 (read); before "
        "elongation calibrated within these; flexors calibrated within what muscles can give at the toes' "
        "joints, "
        "4.3-6.8, 3.1-4.9 and 0.5-0.75 N m for rays "
        "1, 2 to 4 and 5 (read); steps: ACE / U Wisconsin 2007 (read)";
    const CourseKind kinds[] = {
        {"walking",
         1.5,
         3.35,
         1600,
         0,
         1,
         {75, 80, 85},
         walking_rows,
         "A step of walking, shod or barefoot, over late stance; the speed is 1.3 m/s unless given.",
         walking_source},
        {"carrying",
         1.5,
         3.35,
         1600,
         20,
         0.96,
         {75, 80, 85},
         walking_rows,
         "The same with a load carried on body or hands: force counts body and load together, 4 % less than "
         "in "
         "proportion, as people walk more carefully (+24.3 % with 20 kg, 61 men, read).",
         walking_source},
        {"running",
         1.6,
         3.4,
         9600,
         0,
         1,
         {37.5, 45, 55},
         running_rows,
         "A step of running, landing on the rearfoot, over the forefoot's part of stance.",
         "force, forward part, heel rise: one runner, 14 steps (computed from public measurements); "
         "forefoot's part, toe "
         "share and flexors assumed; fascia about 1.5 body weights, Caravaggi 2009 (read), as no source for "
         "running; roll held: let free under this force it runs away until MT2 bends sideways by 12000 ue",
         false},
        {"running-forefoot",
         1.6,
         3.4,
         9600,
         0,
         1,
         {37.5, 45, 60},
         forefoot_rows,
         "A step of running, landing on the forefoot.",
         "force, forward part, heel rise from 45 % on: one runner (computed from public measurements); "
         "before, and toe "
         "share and flexors, assumed; fascia and roll as running",
         false},
        {"stairs-up",
         1.1,
         3.4,
         1200,
         0,
         1,
         {70, 80, 90},
         stairs_up_rows,
         "A step up a stair, on the forefoot.",
         "assumed"},
        {"stairs-down",
         1.1,
         3.4,
         1200,
         0,
         1,
         {5, 12.5, 20},
         stairs_down_rows,
         "A step down a stair, landing on the forefoot.",
         "assumed"},
    };
    for (const CourseKind &kind : kinds)
      all.push_back(of_course(kind));
    for (const Row &row : rows)
      all.push_back(named(row));
    return all;
  }();
  return table;
}

Activity course_at(const std::vector<Activity> &course, const double stance) {
  std::size_t i = 1;
  while (i + 1 < course.size() && course[i].stance_percent < stance)
    ++i;
  if (course.size() < 2)
    return course.front();
  const Activity &a = course[i - 1], &b = course[i];
  const double t = std::clamp((stance - a.stance_percent) / (b.stance_percent - a.stance_percent), 0.0, 1.0);
  Activity at = a;
  at.stance_percent = stance;
  for (double Activity::*number : {&Activity::force_bw, &Activity::forward_share, &Activity::heel_rise_deg,
                                   &Activity::toe_share, &Activity::fascia_bw, &Activity::flexor_effort})
    at.*number = (1 - t) * (a.*number) + t * (b.*number);
  return at;
}

std::vector<Activity> course_instants(const std::vector<Activity> &course) {
  std::vector<Activity> instants;
  constexpr double step = 2.5;
  const double from = course.front().stance_percent, to = course.back().stance_percent;
  for (double stance = step * std::ceil(from / step - 1e-9); stance <= to + 1e-9; stance += step)
    instants.push_back(course_at(course, stance));
  return instants;
}

std::vector<Activity> at_walking_speed(std::vector<Activity> course, const double speed_m_s) {
  const double force = 1 + 0.17 / 1.10 * (speed_m_s - 1.3), forward = std::sqrt(speed_m_s / 1.3);
  for (Activity &a : course) {
    a.force_bw *= force;
    a.forward_share *= forward;
  }
  return course;
}

std::vector<std::string> activity_names() {
  std::vector<std::string> names;
  for (const NamedActivity &n : named_activities())
    names.push_back(n.activity.name);
  return names;
}

const NamedActivity &named_activity(const std::string &name) {
  for (const NamedActivity &n : named_activities())
    if (n.activity.name == name)
      return n;
  throw std::logic_error("no activity named \"" + name + "\"");
}

double running_force_bw(const double speed_m_s) {
  const double v = std::clamp(speed_m_s, 3.0, 4.5);
  return 2.2 + (2.8 - 2.2) * (v - 3.0) / (4.5 - 3.0);
}

} // namespace raybend
