#include "cases/activities.hpp"
#include <algorithm>
#include <stdexcept>

namespace raybend {

namespace {

NamedActivity make(const std::string &name, const double force_bw, const double toe_share,
                   const double heel_rise_deg, const double fascia_bw, const double steps_per_hour,
                   const double carried_kg, const std::string &meaning, const std::string &source) {
  NamedActivity n;
  n.activity.name = name;
  n.activity.force_bw = force_bw;
  n.activity.toe_share = toe_share;
  n.activity.heel_rise_deg = heel_rise_deg;
  n.activity.fascia_bw = fascia_bw;
  n.activity.steps_per_hour = steps_per_hour;
  n.activity.carried_kg = carried_kg;
  n.meaning = meaning;
  n.source = source;
  return n;
}

} // namespace

const std::vector<NamedActivity> &named_activities() {
  // name, force BW, toe share, heel rise deg, fascia BW, steps an hour (both feet), carried kg
  static const std::vector<NamedActivity> table = {
      make("standing", 0.25, 0.08, 0, 0.10, 0, 0,
           "Quiet standing on both feet, half of each foot's load on the forefoot.", "assumed"),
      make("walking-mid-stance", 0.55, 0.10, 0, 0.35, 1600, 0,
           "One foot flat on the ground, half of the load on the forefoot.",
           "assumed; steps: ACE / U Wisconsin 2007, custodian 1624 an hour (read)"),
      make("walking-push-off", 1.10, 0.21, 20, 0.72, 1600, 0,
           "Late-stance peak of walking, all load on forefoot and toes, heel off the ground.",
           "force 1.05-1.15 BW: gait texts (from memory); toe share: foot-clinic platform data, PMC8275713 "
           "(read); "
           "heel rise 15-30 deg at peak load: gait texts (from memory); fascia: so that the whole tension "
           "comes to 0.96 body weights, Erdemir 2004 (read); steps: "
           "ACE / U "
           "Wisconsin 2007 (read)"),
      make("running-push-off", 2.40, 0.18, 20, 1.57, 9600, 0,
           "Active peak of running, all load on forefoot and toes.",
           "force: Cavanagh & Lafortune 1980 (from memory); steps 160 a minute: recreational cadence (from "
           "memory); "
           "toe share, heel rise and fascia assumed"),
      make("stairs", 1.00, 0.15, 15, 0.65, 1200, 0, "Push-off on the forefoot up a stair.", "assumed"),
      make("carrying", 1.10, 0.21, 20, 0.72, 1600, 20,
           "Walking push-off with a load carried on body or hands; force counts body and load together.",
           "as walking-push-off; 20 kg: the backpack of Arndt 2002 (read)"),
  };
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
