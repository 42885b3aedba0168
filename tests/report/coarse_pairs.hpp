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
     {{{802, 1338, 1584, 2099, 2456}},
      {{814, 1266, 1508, 1943, 2216}},
      {{905, 1894, 1525, 1468, 1850}},
      {{907, 2294, 1924, 1436, 1454}}},
     {{{795, 1301, 1532, 2048, 2419}},
      {{809, 1251, 1482, 1916, 2204}},
      {{912, 1895, 1501, 1452, 1833}},
      {{919, 2296, 1911, 1419, 1437}}}},
    {"runner-45",
     {{{1256, 2481, 3096, 3979, 5223}},
      {{1420, 3292, 2099, 2987, 4178}},
      {{1561, 3801, 2120, 2817, 4112}},
      {{1259, 2558, 3182, 3999, 5154}}},
     {{{1224, 2443, 3023, 3900, 5135}},
      {{1451, 3501, 2040, 2935, 4131}},
      {{1587, 4015, 2071, 2766, 4065}},
      {{1235, 2493, 3126, 3923, 5080}}}},
};

} // namespace raybend
