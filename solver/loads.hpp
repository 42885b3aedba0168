// What the forefoot carries at one instant of an activity. Plain values.
#pragma once
#include "geometry/constants.hpp"
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <tuple>
#include <vector>

namespace raybend {

/// What a person does when the insole changes: the ankle's stiffness lets the midfoot turn about the posture that the
/// reference takes; or, its two limits, posture or moments stay as they are with the reference.
enum class PostureRule { ankle, kept, moment_kept };

struct Activity {
  std::string name;         ///< catalogue name
  double force_bw = 0;      ///< total vertical force on forefoot and toes, body weights (body + carried mass)
  double toe_share = 0;     ///< part of it under the toes, 0..0.5
  double heel_rise_deg = 0; ///< tilt of the ground plane about the head line, 0..45
  /// Forward part of the ground's force over its vertical part: positive where the foot is pushed forward, -0.5..0.5.
  double forward_share = 0;
  double fascia_bw = 0; ///< tension of the whole plantar fascia before elongation, body weights
  /// Pull of the toe flexors over what the toes' load asks for by statics, as they work against the extensors too; 0..4.
  double flexor_effort = 1;
  double steps_per_hour = 0; ///< both feet
  double carried_kg = 0;     ///< pack, tools
  /// mm: where the force's line of action passes, medial of MT2's head (used with free_roll). Empty: where the
  /// published loads would put it on this foot (force_line.hpp).
  std::optional<double> line_medial;
  bool free_roll =
      true; ///< the midfoot rolls about the foot's long axis until the force's line of action is met
  PostureRule posture = PostureRule::ankle;
  double stance_percent = 0;  ///< when in stance this is, 0: not said
  bool flexors = true;        ///< false: toe flexor tendons cut
  bool fascia = true;         ///< false: plantar fascia cut
  bool clamped_bases = false; ///< true: bases held a thousand times stiffer than the joints are
  bool barefoot = false;      ///< true: rigid ground under the skin (a stiff board stands for the insole)
};

/// One turn of the midfoot, per 30 mm, level by level (coarsest first): its motion, mm, and what holds it, N.
struct MidfootTurn {
  std::vector<double> motion, reaction;
};
/// A toe in the reference: its metatarsal's head, level by level (coarsest first), has moved along the force by `head`, mm,
/// held by the fascia's `tension`, N; the bed as loaded is `bed` mm above the skin's plane at rest.
struct ToePosture {
  std::vector<double> head, tension;
  double bed = 0;
};
/// How the foot stands on the reference, about which the other insoles turn it.
struct Posture {
  MidfootTurn roll, pitch;
  std::array<ToePosture, 5> toe;
};

/// All that loads the foot: everything but name, number of steps and what is only said. A member that is added to
/// Activity and not named here does not compile.
inline auto loads_of(const Activity &activity) {
  const auto &[name, force_bw, toe_share, heel_rise_deg, forward_share, fascia_bw, flexor_effort,
               steps_per_hour, carried_kg, line_medial, free_roll, posture, stance_percent, flexors, fascia,
               clamped_bases, barefoot] = activity;
  return std::make_tuple(force_bw, toe_share, heel_rise_deg, forward_share, fascia_bw, flexor_effort,
                         carried_kg, line_medial, free_roll, posture, flexors, fascia, clamped_bases,
                         barefoot);
}

/// True if both load the foot alike.
inline bool same_loads(const Activity &a, const Activity &b) {
  return loads_of(a) == loads_of(b);
}

/// One of the activities that make a day.
struct DayActivity {
  std::string name;  ///< unlike every other of the day; its kind where nothing else was given
  Activity activity; ///< its own name is its kind; the instant of its largest force
  /// Instants of its course in the order of stance that may be solved; empty: `activity` alone.
  std::vector<Activity> course;
  std::vector<std::size_t> first; ///< places in `course` that are solved before others are asked for
  double hours_per_day = 8;

  /// Load cycles of one foot in a day: half of the steps.
  double cycles() const { return activity.steps_per_hour / 2 * hours_per_day; }
  /// "crates (carrying)", or the kind alone where it is the name.
  std::string words() const {
    return name.empty() || name == activity.name ? activity.name : name + " (" + activity.name + ")";
  }
};

/// True if both load the foot alike at every instant.
inline bool same_loads(const DayActivity &a, const DayActivity &b) {
  bool same = same_loads(a.activity, b.activity) && a.first == b.first && a.course.size() == b.course.size();
  for (std::size_t i = 0; same && i < a.course.size(); ++i)
    same = a.course[i].stance_percent == b.course[i].stance_percent && same_loads(a.course[i], b.course[i]);
  return same;
}

/// Vertical force on forefoot and toes, N.
inline double vertical_force(const Activity &a, double body_mass_kg) {
  return a.force_bw * (body_mass_kg + a.carried_kg) * standard_gravity;
}
/// The same with its forward part, along its line of action.
inline double ground_force(const Activity &a, double body_mass_kg) {
  return vertical_force(a, body_mass_kg) * std::sqrt(1 + a.forward_share * a.forward_share);
}
inline double vertical_force(const DayActivity &d, double body_mass_kg) {
  return vertical_force(d.activity, body_mass_kg);
}

} // namespace raybend
