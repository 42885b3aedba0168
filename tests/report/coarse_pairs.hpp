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
     {{{876, 1547, 1534, 1991, 2072}},
      {{876, 1536, 1506, 1894, 1924}},
      {{944, 2121, 1507, 1523, 1629}},
      {{944, 2421, 1769, 1542, 1379}}},
     {{{866, 1563, 1485, 1950, 2039}},
      {{867, 1533, 1477, 1871, 1910}},
      {{944, 2128, 1482, 1507, 1615}},
      {{951, 2422, 1747, 1526, 1369}}}},
    {"runner-45",
     {{{1250, 3280, 3623, 4030, 4127}},
      {{1359, 2512, 2451, 3089, 3351}},
      {{1428, 2853, 2462, 2965, 3285}},
      {{1231, 3454, 3793, 4061, 4016}}},
     {{{1216, 3194, 3529, 3956, 4065}},
      {{1366, 2544, 2382, 3038, 3320}},
      {{1442, 2880, 2404, 2914, 3259}},
      {{1202, 3355, 3692, 3988, 3964}}}},
};

} // namespace raybend
