// The forefoot as a Problem: which materials, supports, ties and loads, and why.
#include "solver/forefoot/forefoot_problem.hpp"
#include "geometry/constants.hpp"
#include "geometry/logical_frame.hpp"
#include "geometry/smooth_step.hpp"
#include "geometry/sole_ground.hpp"
#include "meshing/tags.hpp"
#include "solver/force_line.hpp"
#include "solver/materials/along_stiffened.hpp"
#include "solver/materials/invariant_material.hpp"
#include "solver/materials/transverse_bone.hpp"
#include <algorithm>

namespace raybend {

using namespace logical;

namespace {

// Stiffness of a base across its axis, part of that along it (assumed).
constexpr double base_shear = 0.2;

constexpr double turn_arm = 30;   // mm, by which turns of the midfoot are measured
constexpr double held_turn = 1e7; // N/mm at that arm: a turn that is held (1.6e5 N m per degree)

constexpr double hanging_board_e = 1; // MPa, a thousandth of the board's (assumed)

// Turn of a base by unit angle against springs of unit normal stiffness, about the face's centre and the
// mediolateral axis: the moment, N mm per (MPa/mm). Over the true face, which is oblique to the axis.
double turning_stiffness(const FootShape &shape, int ray, const Vec3 &axis) {
  constexpr int n = 24; // squares across the face
  const double low = axis_of(ray) - cortex_radius, side = 2 * cortex_radius / n;
  const auto at = [&](double i, double j) {
    return shape.point({0, low + i * side, 2 - cortex_radius + j * side});
  };
  struct Piece {
    Vec3 middle;
    double area;
  };
  std::vector<Piece> pieces;
  double area = 0, stiffness = 0;
  Vec3 centre = {0, 0, 0};
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j) {
      const Vec3 normal = 0.5 * cross(at(i + 1, j + 1) - at(i, j), at(i, j + 1) - at(i + 1, j));
      pieces.push_back({at(i + 0.5, j + 0.5), norm(normal)});
      area += pieces.back().area;
      centre = centre + pieces.back().area * pieces.back().middle;
    }
  centre = (1.0 / area) * centre;
  for (const Piece &piece : pieces) {
    const Vec3 moved = cross({0, 1, 0}, piece.middle - centre); // by a unit turn
    const double along = dot(moved, axis);
    stiffness += piece.area * ((1 - base_shear) * along * along + base_shear * dot(moved, moved));
  }
  return stiffness;
}

// Springs of a base: stiffness per area from the joint's mobility. Half of the mobility is taken up at
// `joint_moment` (assumed), so that a turn costs  k_theta = joint_moment / (mobility / 2).
SpringFace base_spring(const Forefoot &foot, const FootShape &shape, const Activity &activity, int ray) {
  const double half_mobility = foot.rays[ray - 1].mobility_deg / 2 * pi / 180;
  SpringFace spring;
  spring.id = face_bone_base + ray;
  spring.axis = shape.axis_tangent(ray, 0.01);
  spring.normal = foot.materials.joint_moment / half_mobility / turning_stiffness(shape, ray, spring.axis);
  spring.tangential = base_shear * spring.normal;
  if (activity.clamped_bases) {
    spring.normal *= 1000;
    spring.tangential *= 1000;
  }
  spring.on_carrier = true;
  return spring;
}

// Materials: 0 soft tissue, 1 to 5 cortical bone of each ray, 6 to 10 its spongy bone, then the insole's.
constexpr unsigned first_spongy = 6, first_of_insole = 11;

void add_materials(Problem &p, const FootMaterials &m, const FootShape &shape, const InsoleShape &insole,
                   const Activity &activity) {
  p.materials.push_back(std::make_shared<SoftTissue>(m.tissue_mu, m.tissue_stiffening, m.tissue_bulk));
  const auto add_bone = [&](const double e, const double nu, const double across, const double g) {
    for (int ray = 1; ray <= 5; ++ray) {
      const Vec3 axis = shape.axis_tangent(ray, 2.5);
      if (m.bone_law == BoneLaw::transverse)
        p.materials.push_back(std::make_shared<TransverseBone>(
            e, across, nu, g, dealii::Tensor<1, 3>({axis[0], axis[1], axis[2]})));
      else
        p.materials.push_back(std::make_shared<NeoHooke>(e, nu));
    }
  };
  add_bone(m.cortical_e, m.cortical_nu, m.cortical_e_transverse, m.cortical_g);
  add_bone(m.trabecular_e, m.trabecular_nu, m.trabecular_e_transverse, m.trabecular_g);
  for (const InsoleMaterial &i : insole.materials()) {
    if (i.law == MaterialLaw::solid)
      p.materials.push_back(std::make_shared<NeoHooke>(i.e, i.nu));
    else
      p.materials.push_back(std::make_shared<GasFoam>(i.e, i.nu, i.gas_pressure, i.relative_density));
    if (i.along_e > 0)
      p.materials.back() =
          std::make_shared<AlongStiffened>(p.materials.back(), i.along_e, dealii::Tensor<1, 3>({1, 0, 0}));
  }
  // Barefoot with the heel up nothing lies under the foot where the ground falls away. The board is soft there,
  // from 10 mm behind the heads (assumed), so that what hangs carries next to nothing.
  const bool falls_away = activity.barefoot && activity.heel_rise_deg > 0;
  const unsigned hanging = p.materials.size();
  if (falls_away)
    p.materials.push_back(std::make_shared<GasFoam>(hanging_board_e, 0.1, 0, 0.2));
  p.material_at = [&insole, &shape, falls_away, hanging](const Vec3 &l, unsigned tag) -> unsigned {
    switch (tag) {
    case tag_cortical:
      return ray_of(l[1]);
    case tag_trabecular:
      return first_spongy - 1 + ray_of(l[1]);
    case tag_insole:
      return falls_away && shape.behind_heads(l[0], l[1]) > 10 ? hanging
                                                               : first_of_insole + insole.material_at(l);
    default:
      return 0;
    }
  };
}

// How a turn of the midfoot is held. The reference takes its posture: the roll is free, the pitch, which the heel's
// rise prescribes, is held. Every other insole turns it against the ankle's stiffness about that posture.
Carrier::Holding holding(const bool free_in_reference, const double ankle_nm_per_deg,
                         const Activity &activity, const MidfootTurn *about) {
  Carrier::Holding h;
  if (!about) {
    h.stiffness = free_in_reference ? 0 : held_turn;
    return h;
  }
  h.rest = about->motion;
  h.push = about->reaction;
  h.stiffness = activity.posture == PostureRule::kept ? held_turn
                : activity.posture == PostureRule::ankle
                    ? ankle_nm_per_deg * 1000 * 180 / pi / (turn_arm * turn_arm)
                    : 0;
  return h;
}

// The midfoot: rigid, free to settle along the force, loaded by the activity's force; it rolls about the foot's long
// axis through the force's line of action, where the force does no work, and pitches about the line of MT2's head.
// Turns count per 30 mm, so that all motions are of one size. The bases hang on it by the joints' springs.
void add_midfoot(Problem &p, const Forefoot &foot, const FootShape &shape, const Activity &activity,
                 const Posture *about) {
  const Vec3 up = force_direction(activity);
  p.carrier.modes.push_back([up](const Vec3 &) { return up; });
  const Vec3 head = shape.axis(2, head_station);
  const Vec3 centre = {0, head[1] + force_line_medial(foot, activity), 0};
  p.carrier.modes.push_back([centre](const Vec3 &x) {
    return Vec3{0, -(x[2] - centre[2]) / turn_arm, (x[1] - centre[1]) / turn_arm};
  });
  p.carrier.modes.push_back([head](const Vec3 &x) {
    return Vec3{x[2] / turn_arm, 0, -(x[0] - head[0]) / turn_arm};
  });
  p.carrier.force = ground_force(activity, foot.body_mass_kg);
  p.carrier.holding = {
      {},
      holding(activity.free_roll, foot.ankle_roll_stiffness, activity, about ? &about->roll : nullptr),
      holding(false, foot.ankle_pitch_stiffness, activity, about ? &about->pitch : nullptr)};
  for (int ray = 1; ray <= 5; ++ray)
    p.springs.push_back(base_spring(foot, shape, activity, ray));
  // The tissue goes on proximally: as stiff as 15 mm of itself (assumed).
  const double mu = foot.materials.tissue_mu;
  p.springs.push_back({face_tissue_base, {1, 0, 0}, 3 * mu / 15, mu / 15, true});
}

constexpr double toe_area[5] = {800, 200, 200, 200,
                                200}; // mm2, on the bed (platform measurements, from memory)

// The toe as a lever on the head's centre, of the stiffness K that it shows in a step (Ray::toe_joint): of the moment that
// it takes over that in the reference, the fascia takes what it is wound up by over the head (Hicks 1954: windlass), at the
// flexors' lever. Wound stiffly it would be K = lever^2 k and more; as the arch gives way, which is rigid here, only a part of the
// slip, of stiffness p k with p = K / (lever^2 k), counts as wound:  T = F + k e + p k lever x,  N = .. + p k lever (e + lever x).
Toe toe_of(const Forefoot &foot, const InsoleShape &insole, const Activity &activity, const int ray,
           const ToePosture &about) {
  const Ray &r = foot.rays[ray - 1];
  const ToeSupport support = toe_support(insole, activity, ray);
  Toe toe;
  toe.up = force_direction(activity);
  const double stiffness = r.toe_joint * 180 / pi / (r.toe_lever * r.toe_lever),
               lever = r.flexor_lever / r.toe_lever,
               wound = activity.fascia ? lever * lever * foot.materials.fascia_stiffness * r.fascia_share : 0,
               part = wound > 0 ? std::min(1.0, stiffness / wound) : 0;
  toe.lever = part * lever;
  toe.joint = stiffness - part * part * wound;
  toe.bed = support.stiffness;
  toe.load = toe_statics(foot, activity, ray).load;
  toe.raised = support.height - about.bed;
  toe.head = about.head;
  toe.tension = about.tension;
  return toe;
}

// Plantar ties, toes and ligaments on the heads.
void add_ties(Problem &p, const Forefoot &foot, const FootShape &shape, const InsoleShape &insole,
              const Activity &activity, const Posture *about) {
  const Vec3 up = force_direction(activity);
  const double weight = (foot.body_mass_kg + activity.carried_kg) * standard_gravity;
  const Vec3 mt2 = shape.axis(2, head_station);
  for (int ray = 1; ray <= 5; ++ray) {
    const Ray &r = foot.rays[ray - 1];
    const Vec3 head = shape.axis(ray, head_station);
    Tie tie; // from the hindfoot's anchor to the head's centre
    // In plan each slip follows its ray: the transverse pull of slips that converge on the heel is borne by
    // the tissue between them, which is not modelled.
    const Vec3 base = shape.axis(ray, 0);
    const double back = mt2[0] - foot.hindfoot_anchor_behind;
    const double along = (back - head[0]) / (base[0] - head[0]);
    tie.anchor = {back, head[1] + along * (base[1] - head[1]), foot.hindfoot_anchor_height};
    tie.direction = unit(head - tie.anchor);
    tie.length = norm(head - tie.anchor);
    tie.force = activity.fascia ? activity.fascia_bw * weight * r.fascia_share : 0;
    tie.stiffness = activity.fascia ? foot.materials.fascia_stiffness * r.fascia_share : 0;
    tie.constant = toe_statics(foot, activity, ray).flexor;
    // As far along the bone proximally as the head reaches distally: the mean is the head's centre.
    const double pole = shape.distance(ray, pole_station) - r.length;
    tie.region = [ray, pole, &shape](const Vec3 &l, unsigned tag) {
      const bool bone = tag == tag_cortical || tag == tag_trabecular;
      if (!bone || ray_of(l[1]) != ray || l[0] < head_station - 1)
        return 0.0;
      const double behind = shape.foot().rays[ray - 1].length - shape.distance(ray, l[0]);
      return smooth_step(1 - std::abs(behind) / pole);
    };
    if (about)
      tie.toe = toe_of(foot, insole, activity, ray, about->toe[ray - 1]);
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
    ligament.length = norm(medial - lateral);
    ligament.stiffness = 260 * 18.4 / ligament.length;
    p.ties.push_back(ligament);
  }
}

// Beyond half of its range a base comes to rest: M = M0 x / (1 - |x|), x the turn over half the range (form assumed,
// toe region and steep end of a tarsometatarsal joint), of which the base's springs give M0 x already. The turn is that
// of the cortex above against the cortex below near the base, relative to the midfoot.
void add_joint_stops(Problem &p, const Forefoot &foot, const FootShape &shape) {
  for (int ray = 1; ray <= 5; ++ray) {
    const auto wall = [ray](const int side) {
      return [ray, side](const Vec3 &l, unsigned tag) {
        const double height = side * (l[2] - 2);
        const bool in =
            tag == tag_cortical && ray_of(l[1]) == ray && l[0] < 1 && height >= std::abs(l[1] - axis_of(ray));
        return in ? 1 - l[0] : 0.0;
      };
    };
    const double middle = 1.0 / 3; // centre of the weight along s
    const Vec3 above = shape.point({middle, axis_of(ray), 2.5}),
               below = shape.point({middle, axis_of(ray), 1.5});
    Tie stop;
    stop.region = wall(1);
    stop.other = wall(-1);
    stop.both_on_carrier = true;
    stop.anchor = above;
    stop.other_anchor = below;
    stop.direction = shape.axis_tangent(ray, 0.01);
    stop.force = stop.stiffness = 0;
    const double apart = norm((above - below) - dot(above - below, stop.direction) * stop.direction);
    stop.stop = foot.rays[ray - 1].mobility_deg / 2 * pi / 180 * apart;
    stop.stop_force = foot.materials.joint_moment / apart;
    p.ties.push_back(stop);
  }
}

// What the bend of the shoe at the ball asks for: its sole wants to be straight, so its rear part hangs on the laces
// with the moment stiffness x bend. It acts on the sole 5 to 30 mm behind the heads as forces along the foot on its
// upper and lower part; the toe part, beyond the mesh, takes the opposite on the ground. A rocker bends only by what
// the heel rises beyond its angle.
void add_bend(Problem &p, const FootShape &shape, const InsoleShape &insole, const Shoe &shoe,
              const Activity &activity, const double sole_thickness) {
  const double bend = std::max(0.0, activity.heel_rise_deg - shoe.rocker_deg),
               moment = 1000 * insole.ball_stiffness() * bend;
  if (activity.barefoot || !(moment > 0))
    return;
  for (const int side : {-1, 1}) {
    RegionForce force;
    force.region = [&shape, side](const Vec3 &l, unsigned tag) {
      if (tag != tag_insole || l[2] > -4)
        return 0.0;
      const double behind = shape.behind_heads(l[0], l[1]);
      return behind > 5 && behind < 30 ? 0.5 + side * (l[2] + 4.5) : 0.0;
    };
    force.force = {-side * 3 * moment / sole_thickness, 0, 0}; // centres of the two weights are t/3 apart
    p.region_forces.push_back(force);
  }
}

// The shoe keeps the insole in place; its rear part is laced to the midfoot. Springs in plan assumed.
void add_shoe(Problem &p, const FootShape &shape, const Shoe &shoe, const Activity &activity) {
  const Vec3 up = force_direction(activity);
  p.springs.push_back({face_insole_base, up, 1e-4, 0.5, true});
  // The upper holds the sides in plan, so that a soft edge does not roll over under the foot (0.1
  // MPa/mm). At the distal cut the insole goes on under the toes, so that the cut stays upright.
  p.springs.push_back({face_insole_rim, up, 0, 0.1, false, true});
  p.springs.push_back({face_insole_front, up, 0, 5, false, true});
  // The laced upper pulls the proximal edge up to the midfoot, a fifth of it a column.
  for (int ray = 1; ray <= 5; ++ray) {
    Tie upper;
    upper.direction = (-1.0) * up;
    upper.anchor = shape.skin(0, axis_of(ray));
    upper.force = shoe.upper_force / 5;
    upper.stiffness = shoe.upper_stiffness / 5;
    upper.region = [ray](const Vec3 &l, unsigned tag) {
      return tag == tag_insole && ray_of(l[1]) == ray && l[0] < 1 ? 1.0 : 0.0;
    };
    p.ties.push_back(upper);
  }
}

// Ground: SoleGround below the sole.
void add_ground(Problem &p, const FootShape &shape, const InsoleShape &insole, const Shoe &shoe,
                const Activity &activity, const Settings &settings) {
  const Vec3 up = force_direction(activity), forward = {up[2], 0, -up[0]};
  const SoleGround sole(shape, shoe, activity.heel_rise_deg);
  GroundFace ground;
  ground.id = face_sole_bottom;
  ground.stiffness = settings.ground_stiffness;
  ground.direction = up;
  ground.area_axis = {0, 0, 1};
  ground.gap = [sole, underside = insole.underside()](const Vec3 &x) {
    return sole.below(sole.behind(x)) + (x[2] - underside);
  };
  // With the heel up it fades over 20 mm behind the corner (assumed; the pressed sole touches up to some 8 mm behind it). A
  // pressed surface that may slip bunches (README.md): with the fade about the corner itself and a ninth of the grip the
  // outsole's underside creased across under the heads, and a level took 15 to 25 Newton steps at 85 % of stance in place of 6 to 10.
  ground.grip = [sole, grip = settings.ground_grip, flat = activity.heel_rise_deg <= 0](const Vec3 &x) {
    return grip * (flat ? 1.0 : 1 - smooth_step(sole.behind(x) / 20));
  };
  p.ground.push_back(ground);
  // Ground and shoe keep the plan of sole and insole, but transmit no horizontal resultant and no moment
  // about the vertical: nothing acts but the activity's force.
  p.slide.push_back([forward](const Vec3 &) { return forward; });
  p.slide.push_back([](const Vec3 &) { return Vec3{0, 1, 0}; });
  p.slide.push_back([up](const Vec3 &x) { return 1.0 / 30 * cross(up, x); });
}

} // namespace

ToeStatics toe_statics(const Forefoot &foot, const Activity &activity, int ray) {
  const Ray &r = foot.rays[ray - 1];
  ToeStatics t;
  t.load = ground_force(activity, foot.body_mass_kg) * activity.toe_share * r.toe_share;
  double asked = 0; // N: of all flexors by statics
  for (const Ray &other : foot.rays)
    asked += ground_force(activity, foot.body_mass_kg) * activity.toe_share * other.toe_share *
             other.toe_lever / other.flexor_lever;
  t.flexor = activity.flexors ? activity.flexor_effort * asked * r.flexor_share : 0;
  return t;
}

ToeSupport toe_support(const InsoleShape &insole, const Activity &activity, const int ray) {
  const InsoleShape::ToeBed bed = insole.toe_bed(ray);
  const double rolled = std::min(activity.heel_rise_deg, insole.design().shoe.rocker_deg) * pi / 180;
  return {bed.height * force_direction(activity)[2] -
              insole.foot().rays[ray - 1].toe_lever * std::sin(rolled),
          toe_area[ray - 1] / bed.give};
}

Vec3 force_direction(const Activity &activity) {
  const double a = activity.heel_rise_deg * pi / 180 - std::atan(activity.forward_share);
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
  d.shoe.kind = "barefoot";
  d.shoe.upper_stiffness = 20; // keeps the board's soft part, which nothing bears, with the foot (assumed)
  for (const LayerRole role : {LayerRole::sole, LayerRole::base, LayerRole::cover})
    d.layers.push_back({role, role == LayerRole::base ? 2.0 : 1.5, board});
  return d;
}

Problem forefoot_problem(const Forefoot &foot, const FootShape &shape, const InsoleShape &insole,
                         const Activity &activity, const Settings &settings, const CoarseMesh &mesh,
                         const Posture *about) {
  const Shoe &shoe = insole.design().shoe;
  Problem p;
  p.mesh = mesh;
  p.position = [&shape, &insole](const Vec3 &l) { return l[2] < -0.5 ? insole.point(l) : shape.point(l); };
  add_materials(p, foot.materials, shape, insole, activity);
  add_midfoot(p, foot, shape, activity, about);
  add_ties(p, foot, shape, insole, activity, about);
  add_shoe(p, shape, shoe, activity);
  if (!activity.clamped_bases)
    add_joint_stops(p, foot, shape);
  add_bend(p, shape, insole, shoe, activity, insole.design().layers.front().thickness);
  add_ground(p, shape, insole, shoe, activity, settings);
  p.contact.push_back({face_plantar,
                       face_insole_top,
                       2,
                       settings.contact_stiffness,
                       force_direction(activity),
                       {0, 0, 1},
                       settings.skin_grip});
  return p;
}

} // namespace raybend
