// A case file after reading, checking and filling in of defaults.
#pragma once
#include "geometry/forefoot.hpp"
#include "geometry/insole.hpp"
#include "solver/loads.hpp"
#include "solver/settings.hpp"
#include <string>
#include <vector>

namespace raybend {

struct Case {
  std::string path;        ///< as given on the command line
  std::string source_text; ///< the file's text, for echoing with the results
  std::string title;
  std::string question; ///< what the practitioner asks
  std::string note;     ///< demo cases say here that they are invented
  Forefoot foot;
  std::vector<DayActivity> day; ///< one to six activities
  bool day_is_list = false;     ///< given as [[activity]], not as [activity]
  std::vector<Design> designs;  ///< two to twelve
  std::string reference;        ///< name of the reference design (default: the first)
  Settings settings;
  std::vector<std::string> warnings; ///< values outside published ranges
  std::vector<std::string> sets;     ///< changes of the command line, word for word as they were applied
  /// Every value in force with where it came from: "case", "--set", "default", or one of the first two and the
  /// key it follows from ("case, shoe_size"). Keys that only stand for others (shoe_size, foot_form,
  /// forefoot_width_mm, patient.arch_rise_mm, tissue_stiffness, speed_m_s, shore_a) are not listed themselves.
  struct Resolved {
    std::string key, value, unit, origin;
  };
  std::vector<Resolved> resolved;
};

} // namespace raybend
