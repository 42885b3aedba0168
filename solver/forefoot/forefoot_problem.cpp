#include "solver/forefoot/forefoot_problem.hpp"
#include "geometry/constants.hpp"
#include "geometry/logical_frame.hpp"
#include "meshing/tags.hpp"
#include "solver/materials/invariant_material.hpp"
#include "solver/materials/transverse_bone.hpp"
#include <algorithm>

namespace raybend {

using namespace logical;

namespace {

double smooth(double t) {
  t = std::clamp(t, 0.0, 1.0);
  return t * t * (3 - 2 * t);
}

// Springs of a base: stiffness per area from the joint's mobility. Half of the mobility is taken up at
// `joint_moment` (assumed), so that  k_theta = joint_moment / (mobility / 2) = normal * I_face.
// Across the face the joint is as stiff as a 2 mm layer of cartilage and capsule (E 1 MPa, Athanasiou 1998;
// assumed layer) but at least a fifth of the normal value.
SpringFace base_spring(const Forefoot &foot, const FootShape &shape, const Activity &activity, int ray) {
  const Ray &r = foot.rays[ray - 1];
  const FootShape::Section section = shape.section(ray, 0);
  const double second_moment = pi / 4 * section.half_width * std::pow(section.half_height, 3);
  const double k_theta = foot.materials.joint_moment / (r.mobility_deg / 2 * pi / 180);
  SpringFace spring;
  spring.id = face_bone_base + ray;
  spring.axis = shape.axis_tangent(ray, 0.01);
  spring.normal = k_theta / second_moment;
  spring.tangential = std::max(0.5, 0.2 * spring.normal);
  if (activity.clamped_bases) {
    spring.normal *= 1000;
    spring.tangential *= 1000;
  }
  spring.on_carrier = true;
  return spring;
}

} // namespace

ToeStatics toe_statics(const Forefoot &foot, const Activity &activity, int ray) {
  const Ray &r = foot.rays[ray - 1];
  ToeStatics t;
  t.load = vertical_force(activity, foot.body_mass_kg) * activity.toe_share * r.toe_share;
  t.flexor = activity.flexors ? t.load * r.toe_lever / r.flexor_lever : 0;
  return t;
}

Vec3 vertical(const Activity &activity) {
  const double a = activity.heel_rise_deg * pi / 180;
  return {-std::sin(a), 0, std::cos(a)};
}

Design rigid_board() {
  Design d;
  d.name = "rigid-board";
  d.title = "rigid ground";
  InsoleMaterial board;
  board.name = "board";
  board.law = MaterialLaw::solid;
  board.e = 1000;
  board.nu = 0.3;
  for (const LayerRole role : {LayerRole::sole, LayerRole::base, LayerRole::cover})
    d.layers.push_back({role, role == LayerRole::base ? 2.0 : 1.5, board, 1000, -1000});
  return d;
}

Problem forefoot_problem(const Forefoot &foot, const FootShape &shape, const InsoleShape &insole,
                         const Activity &activity, const Settings &settings, const CoarseMesh &mesh) {
  Problem p;
  p.mesh = mesh;
  p.position = [&shape, &insole](const Vec3 &l) { return l[2] < -0.5 ? insole.point(l) : shape.point(l); };

  // Materials: 0 tissue, 1..5 cortical of each ray, 6 trabecular, then the insole's.
  const FootMaterials &m = foot.materials;
  p.materials.push_back(std::make_shared<SoftTissue>(m.tissue_mu, m.tissue_stiffening, m.tissue_bulk));
  for (int ray = 1; ray <= 5; ++ray) {
    const Vec3 axis = shape.axis_tangent(ray, 2.5);
    if (m.bone_law == BoneLaw::transverse)
      p.materials.push_back(
          std::make_shared<TransverseBone>(m.cortical_e, m.cortical_e_transverse, m.cortical_nu, m.cortical_g,
                                           dealii::Tensor<1, 3>({axis[0], axis[1], axis[2]})));
    else
      p.materials.push_back(std::make_shared<NeoHooke>(m.cortical_e, m.cortical_nu));
  }
  p.materials.push_back(std::make_shared<NeoHooke>(m.trabecular_e, m.trabecular_nu));
  for (const InsoleMaterial &i : insole.materials())
    if (i.law == MaterialLaw::solid)
      p.materials.push_back(std::make_shared<NeoHooke>(i.e, i.nu));
    else
      p.materials.push_back(std::make_shared<GasFoam>(i.e, i.nu, i.gas_pressure, i.relative_density));
  p.material_at = [&insole](const Vec3 &l, unsigned tag) -> unsigned {
    switch (tag) {
    case tag_cortical:
      return ray_of(l[1]);
    case tag_trabecular:
      return 6;
    case tag_insole:
      return 7 + insole.material_at(l);
    default:
      return 0;
    }
  };

  // The midfoot: rigid, free to settle along the vertical (and, by choice, to roll), loaded by the activity.
  const Vec3 up = vertical(activity);
  p.carrier.modes.push_back([up](const Vec3 &) { return up; });
  if (activity.free_roll) {
    // Roll about the foot's long axis through the force's line of action, where the force does no work: the
    // moments of all loads about the line balance. Per 30 mm, so that both motions are of one size.
    const Vec3 centre = {0, shape.axis(2, head_station)[1] + activity.line_medial, 0};
    p.carrier.modes.push_back([centre](const Vec3 &x) {
      return Vec3{0, -(x[2] - centre[2]) / 30, (x[1] - centre[1]) / 30};
    });
  }
  p.carrier.force = vertical_force(activity, foot.body_mass_kg);

  for (int ray = 1; ray <= 5; ++ray)
    p.springs.push_back(base_spring(foot, shape, activity, ray));
  // The tissue goes on proximally: as stiff as 15 mm of itself (assumed).
  p.springs.push_back({face_tissue_base, {1, 0, 0}, 3 * m.tissue_mu / 15, m.tissue_mu / 15, true});
  // The insole lies in a shoe that keeps it from sliding and turning; hardly any vertical hold.
  p.springs.push_back({face_insole_base, up, 1e-4, 0.5, true});
  // The shoe's upper holds its sides in plan, so that a soft edge does not roll over under the foot (assumed:
  // 0.1 MPa/mm). At the distal cut it goes on under the toes, so that the cut stays upright: a free face of a
  // foam pressed by more than half would crease (Biot's surface instability), the finer the mesh the sooner.
  p.springs.push_back({face_insole_rim, up, 0, 0.1, false, true});
  p.springs.push_back({face_insole_front, up, 0, 5, false, true});

  // Ground: a plane that leaves the sole proximal of the heads as the heel rises. The shoe's toe part bends
  // at the line of the heads and lies on the ground. The corner is rounded over 10 mm.
  const double sine = -up[0], underside = insole.underside();
  const double line[5] = {shape.axis(1, head_station)[0], shape.axis(2, head_station)[0],
                          shape.axis(3, head_station)[0], shape.axis(4, head_station)[0],
                          shape.axis(5, head_station)[0]};
  const double across[5] = {shape.axis(1, head_station)[1], shape.axis(2, head_station)[1],
                            shape.axis(3, head_station)[1], shape.axis(4, head_station)[1],
                            shape.axis(5, head_station)[1]};
  std::array<double, 5> lx, ly;
  std::copy(line, line + 5, lx.begin());
  std::copy(across, across + 5, ly.begin());
  GroundFace ground;
  ground.id = face_sole_bottom;
  ground.stiffness = settings.ground_stiffness;
  ground.direction = up;
  ground.area_axis = {0, 0, 1};
  const auto behind_heads = [lx, ly](const Vec3 &x) {
    double head = lx[0];
    for (int i = 0; i < 4; ++i) // rays run from medial (large y) to lateral
      if (x[1] <= ly[i]) {
        const double t = std::clamp((ly[i] - x[1]) / (ly[i] - ly[i + 1]), 0.0, 1.0);
        head = lx[i] + t * (lx[i + 1] - lx[i]);
      }
    return head - x[0];
  };
  ground.gap = [sine, underside, behind_heads](const Vec3 &x) {
    const double behind = behind_heads(x), half = 5;
    const double rounded = behind <= -half  ? 0
                           : behind >= half ? behind
                                            : (behind + half) * (behind + half) / (4 * half);
    return rounded * sine + (x[2] - underside);
  };
  // With the heel up it fades over 20 mm about the line of the heads (assumed).
  ground.grip = [grip = settings.ground_grip, sine, behind_heads](const Vec3 &x) {
    return grip * (sine > 0 ? smooth(0.5 - behind_heads(x) / 20) : 1.0);
  };
  p.ground.push_back(ground);
  // Ground and shoe keep the plan of sole and insole, but transmit no horizontal resultant and no moment
  // about the vertical: activities give a vertical force only.
  const Vec3 forward = {up[2], 0, -up[0]};
  p.slide.push_back([forward](const Vec3 &) { return forward; });
  p.slide.push_back([](const Vec3 &) { return Vec3{0, 1, 0}; });
  p.slide.push_back([forward](const Vec3 &x) { return 1.0 / 30 * (x[0] * Vec3{0, 1, 0} - x[1] * forward); });

  p.contact.push_back({face_plantar, face_insole_top, 2, settings.contact_stiffness, up, {0, 0, 1}});

  // Plantar ties: from the hindfoot's anchor to the centre of each head.
  const double weight = (foot.body_mass_kg + activity.carried_kg) * standard_gravity;
  const Vec3 mt2 = shape.axis(2, head_station);
  for (int ray = 1; ray <= 5; ++ray) {
    const Ray &r = foot.rays[ray - 1];
    const Vec3 head = shape.axis(ray, head_station);
    Tie tie;
    // In plan each slip follows its ray: the transverse pull of slips that converge on the heel is borne by
    // skin friction and ligaments that a frictionless sole does not have.
    const Vec3 base = shape.axis(ray, 0);
    const double back = mt2[0] - foot.hindfoot_anchor_behind;
    const double along = (back - head[0]) / (base[0] - head[0]);
    tie.anchor = {back, head[1] + along * (base[1] - head[1]), foot.hindfoot_anchor_height};
    tie.direction = unit(head - tie.anchor);
    tie.force = activity.fascia ? activity.fascia_bw * weight * r.fascia_share : 0;
    tie.stiffness = activity.fascia ? m.fascia_stiffness * r.fascia_share : 0;
    tie.constant = toe_statics(foot, activity, ray).flexor;
    tie.region = [ray](const Vec3 &l, unsigned tag) {
      const bool bone = tag == tag_cortical || tag == tag_trabecular;
      return bone && ray_of(l[1]) == ray ? smooth(1 - std::abs(l[0] - head_station)) : 0.0;
    };
    p.ties.push_back(tie);
    RegionForce toe;
    toe.region = tie.region;
    toe.force = toe_statics(foot, activity, ray).load * up;
    p.region_forces.push_back(toe);
  }
  // Deep transverse metatarsal ligament, head to head: E 260 MPa on 18.4 mm2 (Siegler 1988 as used by Cheung;
  // from memory), slack when the heads come together.
  for (int ray = 1; ray < 5; ++ray) {
    const Vec3 medial = shape.axis(ray, head_station), lateral = shape.axis(ray + 1, head_station);
    Tie ligament;
    ligament.region = p.ties[ray - 1].region;
    ligament.other = p.ties[ray].region;
    ligament.direction = unit(medial - lateral);
    ligament.anchor = lateral;
    ligament.force = 0;
    ligament.stiffness = 260 * 18.4 / norm(medial - lateral);
    p.ties.push_back(ligament);
  }
  // Shoe upper: pulls the insole's proximal edge up when it sinks away from the midfoot, 4 N/mm a column
  // (assumed).
  for (int ray = 1; ray <= 5; ++ray) {
    Tie upper;
    upper.direction = (-1.0) * up;
    upper.anchor = shape.skin(0, axis_of(ray));
    upper.force = 0;
    upper.stiffness = 4;
    upper.region = [ray](const Vec3 &l, unsigned tag) {
      return tag == tag_insole && ray_of(l[1]) == ray && l[0] < 1 ? 1.0 : 0.0;
    };
    p.ties.push_back(upper);
  }
  return p;
}

} // namespace raybend
