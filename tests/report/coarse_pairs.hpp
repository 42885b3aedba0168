// Strain of the five rays, ue, on the coarse and the standard mesh, of designs by which coarse_pair_strain was not set (it was by the
// warehouse at 80 % of stance and by standing): raybend compare CASE --set activity.at_percent=N at both resolutions.
#pragma once
#include <array>
#include <vector>

namespace raybend {

struct CoarsePair {
  const char *of;
  std::vector<std::array<double, 5>> coarse, standard; ///< a design each
};

inline const std::vector<CoarsePair> coarse_pairs = {
    {"three-quarter-75",
     {{{877, 1550, 1527, 1974, 2047}},
      {{878, 1572, 1468, 1861, 1896}},
      {{940, 2097, 1501, 1514, 1611}},
      {{939, 2393, 1756, 1534, 1359}}},
     {{{867, 1565, 1480, 1936, 2016}},
      {{870, 1565, 1441, 1842, 1886}},
      {{939, 2102, 1474, 1500, 1600}},
      {{945, 2392, 1733, 1521, 1352}}}},
    {"runner-45",
     {{{1250, 3292, 3641, 4034, 4110}},
      {{1367, 2493, 2473, 3094, 3338}},
      {{1438, 2825, 2488, 2968, 3269}},
      {{1229, 3471, 3804, 4062, 4009}}},
     {{{1216, 3205, 3546, 3960, 4049}},
      {{1378, 2525, 2404, 3042, 3307}},
      {{1456, 2853, 2430, 2917, 3244}},
      {{1200, 3372, 3703, 3989, 3957}}}},
};

} // namespace raybend
