// A section's stiffness by closed forms, and its shape as a map from logical points.
#include "geometry/beam_section.hpp"
#include "geometry/constants.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

double cubed(const double x) {
  return x * x * x;
}

/// Cowper's factor of an ellipse, semi-axis a along the force, b across.
double ellipse_factor(const double a, const double b, const double nu) {
  const double a2 = a * a, b2 = b * b;
  return 12 * (1 + nu) * a2 * (3 * a2 + b2) /
         ((40 + 37 * nu) * a2 * a2 + (16 + 10 * nu) * a2 * b2 + nu * b2 * b2);
}

/// Cowper's factor of a circular tube, m = inner over outer diameter.
double tube_factor(const double m, const double nu) {
  const double m2 = m * m, p = (1 + m2) * (1 + m2);
  return 6 * (1 + nu) * p / ((7 + 6 * nu) * p + (20 + 12 * nu) * m2);
}

/// kappa = V^2 / (A int q^2/t ds) of a closed wall between two ellipses, shear flow q = V Q/I; semi-axes
/// along the force (a) and across it (b). Midpoint sums over a quarter, from the crown, where q = 0.
double wall_factor(const double a, const double b, const double inner_a, const double inner_b) {
  const double ma = (a + inner_a) / 2, mb = (b + inner_b) / 2, ta = a - inner_a, tb = b - inner_b;
  const int n = 2000;
  double q = 0, inverse = 0, second = 0, area = 0;
  for (int i = 0; i < n; ++i) {
    const double angle = pi / 2 * (1 - (i + 0.5) / n), c = std::cos(angle), s = std::sin(angle);
    const double arc = std::hypot(mb * s, ma * c), thickness = (tb * ma * c * c + ta * mb * s * s) / arc;
    const double step = arc * pi / 2 / n, part = thickness * step, v = ma * s;
    q += 0.5 * v * part;
    inverse += q * q / thickness * step;
    q += 0.5 * v * part;
    second += 4 * v * v * part;
    area += 4 * part;
  }
  return second * second / (area * 4 * inverse);
}

/// Saint-Venant's torsion constant of a rectangle b x h.
double rectangle_torsion(const double b, const double h) {
  const double a = std::max(b, h), t = std::min(b, h);
  double sum = 0;
  for (int n = 1; n < 30; n += 2)
    sum += std::tanh(n * pi * a / (2 * t)) / std::pow(n, 5);
  return a * cubed(t) / 3 * (1 - 192 * t / (std::pow(pi, 5) * a) * sum);
}

struct Layers {
  double e1, e2, h1, h2, b, ybar;
};

Layers layers(const Beam &beam, const double s) {
  const SectionSize d = section_size(beam, s);
  Layers l{beam.material.e, beam.top_material.e, 0, 0, d.width, 0};
  l.h1 = beam.section.bottom_depth * d.depth / beam.section.start.depth;
  l.h2 = d.depth - l.h1;
  l.ybar = (l.e1 * l.h1 * l.h1 / 2 + l.e2 * l.h2 * (l.h1 + l.h2 / 2)) / (l.e1 * l.h1 + l.e2 * l.h2);
  return l;
}

/// Shear stiffness along z of two layers: (EI)^2 / (b int S^2/G dz), S = int E z dz from the free surface.
double layered_shear(const Layers &l, const double g1, const double g2, const double eiy) {
  double sum = 0, moment = 0;
  const int n = 2000;
  const double step = (l.h1 + l.h2) / n;
  for (int i = 0; i < n; ++i) {
    const double z = (i + 0.5) * step;
    const double part = (z < l.h1 ? l.e1 : l.e2) * (z - l.ybar) * step;
    moment += part / 2;
    sum += moment * moment / (z < l.h1 ? g1 : g2) * step;
    moment += part / 2;
  }
  return eiy * eiy / (l.b * sum);
}

void fill_layered(const Beam &beam, const double s, SectionStiffness &r) {
  const Layers l = layers(beam, s);
  const double g1 = l.e1 / (2 * (1 + beam.material.nu)), g2 = l.e2 / (2 * (1 + beam.top_material.nu));
  const double h = l.h1 + l.h2;
  r.area = l.b * h;
  r.centroid = l.ybar;
  r.ea = l.b * (l.e1 * l.h1 + l.e2 * l.h2);
  r.eiy =
      l.b *
      (l.e1 * (cubed(l.h1 - l.ybar) + cubed(l.ybar)) + l.e2 * (cubed(h - l.ybar) - cubed(l.h1 - l.ybar))) / 3;
  r.eiz = cubed(l.b) / 12 * (l.e1 * l.h1 + l.e2 * l.h2);
  const double g = (g1 * l.h1 + g2 * l.h2) / h, nu = beam.material.nu;
  r.gj = g * rectangle_torsion(l.b, h);
  r.gaz = layered_shear(l, g1, g2, r.eiy);
  r.shear_z = r.gaz / (g * r.area);
  r.shear_y = 10 * (1 + nu) / (12 + 11 * nu);
  r.gay = r.shear_y * g * r.area;
}

} // namespace

double section_area(const Beam &beam, const double s) {
  const SectionSize d = section_size(beam, s);
  switch (beam.section.shape) {
  case SectionShape::rectangle:
  case SectionShape::layered:
    return d.width * d.depth;
  case SectionShape::z_section:
    return beam.section.thickness * (d.depth - 2 * beam.section.thickness + 2 * d.width);
  default:
    return pi / 4 * (d.width * d.depth - d.inner_width * d.inner_depth);
  }
}

SectionStiffness section_stiffness(const Beam &beam, const double s) {
  SectionStiffness r;
  if (beam.section.shape == SectionShape::layered) {
    fill_layered(beam, s, r);
    return r;
  }
  const SectionSize d = section_size(beam, s);
  const double b = d.width, h = d.depth, nu = beam.material.nu, e = beam.material.e, g = e / (2 * (1 + nu));
  double iy = 0, iz = 0, iyz = 0, j = 0;
  r.area = section_area(beam, s);
  switch (beam.section.shape) {
  case SectionShape::rectangle:
    iy = b * cubed(h) / 12;
    iz = h * cubed(b) / 12;
    j = rectangle_torsion(b, h);
    r.shear_y = r.shear_z = 10 * (1 + nu) / (12 + 11 * nu);
    break;
  case SectionShape::circle:
  case SectionShape::ellipse:
    iy = pi / 64 * b * cubed(h);
    iz = pi / 64 * h * cubed(b);
    j = pi / 16 * cubed(b) * cubed(h) / (b * b + h * h);
    r.shear_z = ellipse_factor(h, b, nu);
    r.shear_y = ellipse_factor(b, h, nu);
    break;
  case SectionShape::tube:
  case SectionShape::elliptic_tube: {
    const double bi = d.inner_width, hi = d.inner_depth;
    iy = pi / 64 * (b * cubed(h) - bi * cubed(hi));
    iz = pi / 64 * (h * cubed(b) - hi * cubed(bi));
    if (beam.section.shape == SectionShape::tube) {
      j = iy + iz;
      r.shear_y = r.shear_z = tube_factor(bi / b, nu);
      break;
    }
    double around = 0; // Bredt: ring integral of ds/t
    const double ma = (b + bi) / 4, mh = (h + hi) / 4, tb = (b - bi) / 2, th = (h - hi) / 2;
    const int n = 2000;
    for (int i = 0; i < n; ++i) {
      const double angle = 2 * pi * (i + 0.5) / n, c = std::cos(angle), q = std::sin(angle);
      const double arc = std::hypot(ma * q, mh * c);
      around += arc * arc / (tb * mh * c * c + th * ma * q * q) * 2 * pi / n;
    }
    const double enclosed = pi * ma * mh;
    // A thick wall is stiffer in torsion and in shear than its shear flow says; by as much as a circular tube of
    // the same hollow share: (1 - m^4)/2 = (1 + t^2/4r^2) r^3 t with the wall's middle r, thickness t.
    const double m = std::sqrt(bi * hi / (b * h)), r_mid = (1 + m) / 2, t = 1 - m;
    j = 4 * enclosed * enclosed / around * (1 + t * t / (4 * r_mid * r_mid));
    const double thick = tube_factor(m, nu) / wall_factor(1, 1, m, m);
    r.shear_z = thick * wall_factor(h / 2, b / 2, hi / 2, bi / 2);
    r.shear_y = thick * wall_factor(b / 2, h / 2, bi / 2, hi / 2);
    break;
  }
  case SectionShape::z_section: {
    const double t = beam.section.thickness, web = h - 2 * t, arm = (h - t) / 2, shift = (b - t) / 2;
    iy = t * cubed(web) / 12 + 2 * (b * cubed(t) / 12 + b * t * arm * arm);
    iz = web * cubed(t) / 12 + 2 * (t * cubed(b) / 12 + b * t * shift * shift);
    iyz = 2 * b * t * arm * shift;
    j = cubed(t) / 3 * (web + 2 * b);
    r.shear_z = t * h / r.area;
    r.shear_y = 5.0 / 6 * 2 * b * t / r.area;
    break;
  }
  case SectionShape::layered:
    break;
  }
  r.centroid = h / 2;
  r.ea = e * r.area;
  r.eiy = e * iy;
  r.eiz = e * iz;
  r.eiyz = e * iyz;
  r.gj = g * j;
  r.gay = r.shear_y * g * r.area;
  r.gaz = r.shear_z * g * r.area;
  return r;
}

double modulus_at(const Beam &beam, const double s, const double z) {
  if (beam.section.shape != SectionShape::layered)
    return beam.material.e;
  const Layers l = layers(beam, s);
  return z < l.h1 - l.ybar ? l.e1 : l.e2;
}

double thermal_strain(const Beam &beam, const double s, const double z) {
  const double depth = section_size(beam, s).depth;
  double middle = 0;
  const Elastic *material = &beam.material;
  if (beam.section.shape == SectionShape::layered) {
    const Layers l = layers(beam, s);
    middle = depth / 2 - l.ybar;
    if (z > l.h1 - l.ybar)
      material = &beam.top_material;
  }
  return material->expansion *
         (beam.temperature.rise + beam.temperature.top_less_bottom * (z - middle) / depth);
}

FreeStrain free_strain(const Beam &beam, const double s) {
  if (beam.section.shape != SectionShape::layered)
    return {beam.material.expansion * beam.temperature.rise,
            beam.material.expansion * beam.temperature.top_less_bottom / section_size(beam, s).depth};
  // Timoshenko's transformed section (1925): resultants of E times the free strain, over the section's stiffness.
  const Layers l = layers(beam, s);
  const SectionStiffness k = section_stiffness(beam, s);
  double n = 0, m = 0;
  const double bounds[3] = {-l.ybar, l.h1 - l.ybar, l.h1 + l.h2 - l.ybar};
  for (int i = 0; i < 2; ++i) { // linear within a layer: Simpson's rule is exact for both
    const double a = bounds[i], b = bounds[i + 1], e = (i == 0 ? l.e1 : l.e2) * l.b, inside = 1e-9 * (b - a);
    for (const auto &[z, weight] :
         {std::array<double, 2>{a + inside, 1.0 / 6}, {(a + b) / 2, 4.0 / 6}, {b - inside, 1.0 / 6}}) {
      n += weight * (b - a) * e * thermal_strain(beam, s, z);
      m += weight * (b - a) * e * thermal_strain(beam, s, z) * z;
    }
  }
  return {n / k.ea, m / k.eiy};
}

double self_stress(const Beam &beam, const double s, const double z) {
  const FreeStrain free = free_strain(beam, s);
  return modulus_at(beam, s, z) * (free.axial + free.curvature * z - thermal_strain(beam, s, z));
}

double navier_stress(const Beam &beam, const double s, const double y, const double z, const double n,
                     const double my, const double mz) {
  const SectionStiffness k = section_stiffness(beam, s);
  const double det = k.eiy * k.eiz - k.eiyz * k.eiyz;
  const double ky = (k.eiz * my + k.eiyz * mz) / det, kz = (k.eiyz * my + k.eiy * mz) / det;
  return modulus_at(beam, s, z) * (n / k.ea + ky * z - kz * y);
}

std::array<double, 2> section_point(const Beam &beam, const double s, const double eta, const double zeta) {
  const SectionSize d = section_size(beam, s);
  const double a = d.width / 2, c = d.depth / 2;
  switch (beam.section.shape) {
  case SectionShape::rectangle:
    return {a * eta, c * zeta};
  case SectionShape::layered: {
    const Layers l = layers(beam, s);
    return {a * eta, l.h1 - l.ybar + zeta * (zeta < 0 ? l.h1 : l.h2)};
  }
  case SectionShape::z_section:
    return {eta, zeta};
  default:
    break;
  }
  const double m = std::max(std::abs(eta), std::abs(zeta));
  const bool disc = beam.section.shape == SectionShape::circle || beam.section.shape == SectionShape::ellipse;
  constexpr double core = 0.46; // half side of the square core, in radii
  if (disc && m <= disc_core)
    return {a * eta * core / disc_core, c * zeta * core / disc_core};
  const double angle = std::abs(eta) >= std::abs(zeta) ? (eta > 0 ? 0 : pi) + pi / 4 * zeta / eta
                                                       : (zeta > 0 ? pi / 2 : 1.5 * pi) - pi / 4 * eta / zeta;
  const double y = std::cos(angle), z = std::sin(angle);
  if (disc) {
    const double t = (m - disc_core) / (1 - disc_core);
    return {a * ((1 - t) * core * eta / m + t * y), c * ((1 - t) * core * zeta / m + t * z)};
  }
  const double t = (m - tube_hole) / (1 - tube_hole), ai = d.inner_width / 2, ci = d.inner_depth / 2;
  return {(ai + t * (a - ai)) * y, (ci + t * (c - ci)) * z};
}

std::array<double, 2> outline_point(const Beam &beam, const double y_part, const double z_part) {
  if (beam.section.shape == SectionShape::z_section)
    return {y_part * (beam.section.start.width - beam.section.thickness / 2),
            z_part * beam.section.start.depth / 2};
  return {y_part, z_part};
}

} // namespace raybend
