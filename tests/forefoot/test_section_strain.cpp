// Strain round a section from its four sides (solver/forefoot/section_strain.hpp) against beam theory: a bar
// under axial force and two bending moments at once, strain = N / (E A) + M_y z / (E I_y) - M_z y / (E I_z)
// (unsymmetric bending: Gere & Goodno, Mechanics of Materials, beams with inclined loads; from memory),
// searched point by point.
#include "solver/forefoot/section_strain.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

using namespace raybend;

TEST_CASE("The extreme strain of an ellipse under axial force and two moments", "[section]") {
  const double pi = std::acos(-1.0), e = 17000, a = 4.0, b = 4.25; // mm, half width and half height; MPa
  const double area = pi * a * b, about_width = pi / 4 * a * b * b * b, about_height = pi / 4 * b * a * a * a;
  for (const double force : {-120.0, 0.0, 80.0})
    for (const double sagittal : {-900.0, 300.0})
      for (const double transverse : {-1500.0, 0.0, 700.0}) {
        INFO("N " << force << ", sagittal " << sagittal << ", transverse " << transverse);
        // y medial, z dorsal; a positive sagittal moment stretches the plantar side, a transverse one the
        // lateral side.
        const auto strain = [&](double y, double z) {
          return 1e6 / e * (force / area - sagittal * z / about_width - transverse * y / about_height);
        };
        double most = 0, where = 0;
        for (int k = 0; k < 36000; ++k) {
          const double phi = pi * k / 18000, here = strain(a * std::sin(phi), b * std::cos(phi));
          if (std::abs(here) > std::abs(most) + 1e-9) {
            most = here;
            where = 0.01 * k;
          }
        }
        const SideStrains sides{strain(0, b), strain(0, -b), strain(a, 0), strain(-a, 0)};
        const ExtremeStrain found = extreme_strain(sides);
        CHECK(std::abs(found.value) == Approx(std::abs(most)).epsilon(1e-6));
        if (force != 0) { // without axial force both ends of the diameter are as good
          CHECK(found.value == Approx(most).epsilon(1e-6));
          const double off = std::abs(found.towards - where);
          CHECK(std::min(off, 360 - off) < 0.02);
        }
        double lowest = 0, highest = 0;
        for (int k = 0; k < 36000; ++k) {
          const double here = strain(a * std::sin(pi * k / 18000), b * std::cos(pi * k / 18000));
          lowest = k == 0 ? here : std::min(lowest, here);
          highest = k == 0 ? here : std::max(highest, here);
        }
        const StrainRange range = strain_range(sides);
        CHECK(range.lowest == Approx(lowest).epsilon(1e-6));
        CHECK(range.highest == Approx(highest).epsilon(1e-6));
        const SectionStrain section = section_strain(sides);
        CHECK(section.axial == Approx(1e6 * force / (e * area)).margin(1e-9));
        CHECK(section.sagittal == Approx(1e6 * sagittal * b / (e * about_width)));
        CHECK(section.transverse == Approx(1e6 * transverse * a / (e * about_height)).margin(1e-9));
      }
}

TEST_CASE("The extreme strain is never less than a side's", "[section]") {
  const ExtremeStrain found = extreme_strain({100, 100, -500, 300}); // axial 0, transverse 400
  CHECK(found.value == -500);
  CHECK(found.towards == 90);
}
