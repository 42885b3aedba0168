#include "cases/catalogue/activities.hpp"
#include <algorithm>
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
      {"walking-push-off", 1.10, 0.21, 20, 0.12, 1.10, 1.5, 1600, 0,
       "Late-stance peak of walking, all load on forefoot and toes, heel off the ground.",
       "force 1.05-1.15 BW: gait texts (from memory); toe share: foot-clinic platform data, PMC8275713 "
       "(read); heel rise 15-30 deg at peak load: gait texts (from memory); forward: 0.11-0.13 of the "
       "vertical force at its peak, 0.2 BW a tenth of stance later: gait texts (from memory); fascia: the "
       "whole tension between 0.96 body weights, Erdemir 2004, and 1.5, Caravaggi 2009 (read); flexors: 0.77 "
       "and 0.19 body weights in rays 1 and 2, 0.88 and 0.22 by Jacob 2001 (from memory); both so that MT2's "
       "strain barefoot is as measured; steps: ACE / U Wisconsin 2007 (read)"},
      {"running-push-off", 2.40, 0.18, 20, 0.10, 1.6, 1.5, 9600, 0,
       "Active peak of running, all load on forefoot and toes.",
       "force: Cavanagh & Lafortune 1980 (from memory); steps 160 a minute: recreational cadence (from "
       "memory); "
       "fascia: about 1.5 body weights, Caravaggi 2009 (read), as no source for running; flexors as in "
       "walking; toe share, heel rise and forward part assumed"},
      {"stairs", 1.00, 0.15, 15, 0.08, 0.9, 1.5, 1200, 0, "Push-off on the forefoot up a stair.", "assumed"},
      {"carrying", 1.10, 0.21, 20, 0.12, 1.10, 1.5, 1600, 20,
       "Walking push-off with a load carried on body or hands; force counts body and load together.",
       "as walking-push-off; 20 kg: the backpack of Arndt 2002 (read)"},
  };
  static const std::vector<NamedActivity> table = [] {
    std::vector<NamedActivity> all;
    for (const Row &row : rows)
      all.push_back(named(row));
    return all;
  }();
  return table;
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
