// Where beam theory does not hold, in words.
#include "cases/lab/beam/beam_limits.hpp"
#include "cases/words/words.hpp"
#include "geometry/constants.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

bool clamped(const Beam &beam) {
  return std::any_of(beam.supports.begin(), beam.supports.end(),
                     [](const BeamSupport &s) { return s.kind == HoldKind::clamped; });
}

/// Some load twists: a couple about the axis, or a force out of the plane of a curved axis.
bool twisted(const Beam &beam) {
  return std::any_of(beam.loads.begin(), beam.loads.end(), [&](const BeamLoad &l) {
    return l.kind == LoadKindOfBeam::moment ? dot(l.vector, axis_frame(beam, l.from).along) != 0
                                            : beam.radius != 0 && l.vector[1] != 0;
  });
}

} // namespace

std::vector<std::string> theory_warnings(const Beam &beam, const double rotation_deg) {
  std::vector<std::string> out;
  const SectionSize &a = beam.section.start, &b = beam.section.end;
  const double depth = std::max({a.depth, b.depth, a.width, b.width});
  const double ratio = beam.length / depth;
  if (ratio < 10)
    out.push_back(
        "The beam is short (length " + number_text(ratio, 3) +
        " times the section, less than 10): plane sections and Saint-Venant's principle fit poorly.");
  const double taper = std::max(std::abs(a.depth - b.depth), std::abs(a.width - b.width)) / 2 / beam.length;
  const double angle = std::atan(taper) * 180 / pi;
  if (angle > 10)
    out.push_back("The sides taper by " + number_text(angle, 3) +
                  " deg a side, more than 10: Navier's stress does not hold at an inclined surface.");
  if (beam.radius != 0 && std::abs(beam.radius) / a.depth < 5)
    out.push_back("The axis is strongly curved (radius " + number_text(std::abs(beam.radius) / a.depth, 3) +
                  " times the depth, less than 5): stress across the section is hyperbolic, not linear.");
  const std::string turn = rotation_deg > 90 ? "more than 90" : "up to " + number_text(rotation_deg, 3);
  if (!beam.finite_strain && rotation_deg > 5)
    out.push_back("Sections rotate by " + turn +
                  " deg, more than 5, in a small-strain calculation: use strain = \"finite\".");
  if (beam.finite_strain && rotation_deg > 5)
    out.push_back("Sections rotate by " + turn +
                  " deg: both beam theories here are for small rotations and differ for that reason.");
  const double wide = std::max(a.width / a.depth, b.width / b.depth);
  if (wide > 5 && beam.section.shape == SectionShape::rectangle)
    out.push_back(
        "The section is wide (" + number_text(wide, 3) +
        " times its depth, more than 5): it bends like a plate, up to 1/(1 - nu^2) stiffer than a beam.");
  const SectionShape shape = beam.section.shape;
  const bool round = shape == SectionShape::circle || shape == SectionShape::tube, turned = twisted(beam);
  if (clamped(beam) && beam.material.nu > 0)
    out.push_back(
        "A clamped face keeps the section from swelling, which stiffens the beam within about a depth "
        "of it; soft_clamped lets it swell, as theory does.");
  if (clamped(beam) && turned && !round)
    out.push_back(
        "A clamped face keeps the section from warping, where torsion theory lets it: the twist comes "
        "out smaller; soft_clamped lets it warp.");
  if (!beam.section.steps.empty())
    out.push_back(
        "The section steps: over about a depth beyond a step the thicker part does not carry with all of its "
        "section, which theory leaves out.");
  if (turned && (shape == SectionShape::z_section || shape == SectionShape::layered))
    out.push_back(
        shape == SectionShape::layered
            ? "Torsion theory takes the layers' mean shear modulus here, an estimate."
            : "Torsion theory takes the sum of thin strips here: it leaves out their joints, and that "
              "the place where a torque acts may keep the section from warping.");
  for (const Elastic *m : {&beam.material, &beam.top_material})
    if (m->nu > 0.45)
      out.push_back("Poisson's ratio " + number_text(m->nu) +
                    " is nearly incompressible: look at the band, refine.");
  if (beam.section.shape == SectionShape::layered && std::abs(beam.material.nu - beam.top_material.nu) > 1e-9)
    out.push_back("The layers have different Poisson's ratios: the transformed section is not exact.");
  return out;
}

} // namespace raybend
