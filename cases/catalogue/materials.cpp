// Named insole and sole materials, and the hardness relation.
#include "cases/catalogue/materials.hpp"
#include <stdexcept>

namespace raybend {

namespace {

NamedMaterial foam(const std::string &name, const double e, const double nu, const double relative_density,
                   const double gas_pressure, const std::string &meaning, const std::string &source) {
  return {{name, MaterialLaw::foam, e, nu, relative_density, gas_pressure}, meaning, source};
}

NamedMaterial solid(const std::string &name, const double e, const double nu, const std::string &meaning,
                    const std::string &source) {
  return {{name, MaterialLaw::solid, e, nu, 1.0, 0.0}, meaning, source};
}

} // namespace

const std::vector<NamedMaterial> &named_materials() {
  // foams: E MPa, nu, relative density R, gas pressure p0 MPa (0.1 = closed cells at air pressure, 0 = open
  // cells)
  static const std::vector<NamedMaterial> table = {
      foam("open-cell-pu", 0.30, 0.05, 0.15, 0.0, "open-cell polyurethane cushion, 15-25 Shore A",
           "E 0.15-0.6: common practice, no source; nu, R assumed"),
      foam("soft-pe-foam", 0.30, 0.10, 0.06, 0.1, "soft closed-cell polyethylene foam",
           "E: common practice, no source; nu, R assumed"),
      foam("medium-pe-foam", 0.60, 0.10, 0.10, 0.1, "medium closed-cell polyethylene foam",
           "E: common practice, no source; nu, R assumed"),
      foam("firm-pe-foam", 1.20, 0.10, 0.15, 0.1, "firm closed-cell polyethylene foam",
           "E: common practice, no source; nu, R assumed"),
      foam("eva-20", 1.00, 0.15, 0.15, 0.1, "EVA foam of 20-25 Shore A",
           "E 0.8-1.2: common practice, no source; nu, R assumed"),
      foam("eva-35", 2.00, 0.15, 0.20, 0.1, "EVA foam of 35 Shore A",
           "E 1.5-2.5: common practice, no source; nu, R assumed"),
      foam("eva-55", 4.50, 0.20, 0.28, 0.1, "EVA foam of 50-60 Shore A",
           "E 3-6: common practice, no source; nu, R assumed"),
      foam("midsole-eva", 1.50, 0.10, 0.21, 0.1, "EVA midsole of a sports shoe, 200 kg/m3",
           "density 150-250 kg/m3: Verdejo & Mills 2002 (read); E, nu assumed"),
      solid("cork", 10.0, 0.10, "cork agglomerate or thermo-cork", "E 5-20: common practice, no source"),
      solid("rubber-sole", 4.0, 0.45, "rubber outsole of about 62 Shore A",
            "E: Gent 1958 at 62 Shore A (from memory); nu assumed"),
      solid("tpu", 25.0, 0.45, "thermoplastic polyurethane, 85-95 Shore A",
            "E 10-50: data sheets (from memory); nu assumed"),
      solid("polyethylene-hd", 900.0, 0.42, "high-density polyethylene shell",
            "E: data sheets (from memory); nu assumed"),
      solid("polypropylene", 1500.0, 0.41, "polypropylene shell",
            "E 1300-1800, nu 0.40-0.42: handbooks (from memory)"),
      solid("pa12", 1650.0, 0.40, "sintered polyamide 12 shell", "E: data sheets (from memory); nu assumed"),
      solid("carbon-plate", 50000.0, 0.30, "woven carbon-epoxy plate, quasi-isotropic",
            "E 45-60 GPa in plane, nu: handbooks (from memory)"),
  };
  return table;
}

std::vector<std::string> material_names() {
  std::vector<std::string> names;
  for (const NamedMaterial &n : named_materials())
    names.push_back(n.material.name);
  return names;
}

const NamedMaterial &named_material(const std::string &name) {
  for (const NamedMaterial &n : named_materials())
    if (n.material.name == name)
      return n;
  throw std::logic_error("no material named \"" + name + "\"");
}

double gent_modulus(const double shore_a) {
  return 0.0981 * (56.0 + 7.62336 * shore_a) / (0.137505 * (254.0 - 2.54 * shore_a));
}

} // namespace raybend
