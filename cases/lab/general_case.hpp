// A textbook case as its file describes it: formulas still as text, each with its place.
#pragma once
#include "cases/lab/key_table.hpp"

namespace raybend {

struct BlockSpec {
  std::string kind, material;               ///< kind: box, ring, disc, quarter, octant, cells
  Entry3 low, high, cells;                  ///< box
  Entry hole, length, sides, across, along; ///< ring, disc, quarter, octant
  std::vector<Entry> vertices, corners;     ///< cells: three numbers a vertex, eight indices a cell
  int line = 0;
  std::string key;
};

/// Names of faces where a key asks for them.
struct FaceNames {
  std::vector<std::string> names;
  std::string key;
  int line = 0; ///< of the key
};

struct NamedFaces {
  std::string name;
  Entry where; ///< formula of the face's centre xi, eta, zeta; true: belongs to it
};

struct MaterialSpec {
  std::string name, law;
  std::map<std::string, Entry> parameters;
  bool mixed = false;
  int line = 0;
  std::string key;
};

struct SupportSpec {
  FaceNames faces;
  Entry where; ///< of nodes, x, y, z; instead of faces
  std::array<bool, 3> hold{};
  Entry3 value;
  int line = 0;
  std::string key;
};

/// Traction, spring or ground on faces; what is not of its kind stays empty.
struct FaceLoadSpec {
  std::string kind; ///< traction, spring, ground
  FaceNames faces;
  Entry3 value; ///< traction, or the direction of spring and ground
  Entry normal, tangential, gap;
  FaceNames follows; ///< traction turned with this face's mean rotation; at most one name
  int line = 0;
  std::string key;
};

struct ContactSpec {
  bool there = false;
  FaceNames upper, lower; ///< one name each
  std::string along;
  Entry stiffness;
  Entry3 direction;
};

struct QuantitySpec {
  std::string name, unit, id,
      kind;      ///< kind: point, mean, integral, volume, reaction, section, crossing, rule, modes
  Entry3 at, to; ///< point and crossing; centre of a section
  FaceNames faces;
  std::string axis; ///< section
  Entry place;      ///< section, in the logical frame
  Entry value, load, reference, tolerance_percent, tolerance, order;
  std::string known, source, note, why, variant;
  bool decides = true;
  int line = 0;
  std::string key;
};

struct CurveSpec {
  std::string title, x_label, y_label, variant;
  Entry3 from, to;
  bool over_load = false; ///< at `from`, over the load steps
  Entry points, x, value, closed_form;
  std::vector<std::array<Entry, 2>> closed_points;
};

struct VariantSpec {
  std::string name;
  std::vector<Entry> changes;
};

struct GeneralCase {
  std::string path, name, title, source, known, note, why;
  unsigned levels = 3;
  double cost = 0; ///< s, roughly; long cases start first
  std::vector<Entry> parameters, fields, map_fields;
  std::vector<VariantSpec> variants;
  std::vector<Entry> position; ///< three formulas of xi, eta, zeta, or none
  std::vector<BlockSpec> blocks;
  std::vector<NamedFaces> faces;
  std::vector<MaterialSpec> materials;
  std::vector<SupportSpec> supports;
  std::vector<FaceLoadSpec> loads;
  ContactSpec contact;
  std::vector<Entry> body_force;
  Entry thermal_strain;
  bool finite = false;
  std::string solver; ///< auto, direct, multigrid
  std::vector<Entry> steps;
  Entry force_scale, residual;
  std::vector<QuantitySpec> quantities;
  std::vector<CurveSpec> curves;
};

/// What every kind of textbook case has: name, title, source, levels. Faults go to the log.
void read_case_head(KeyTable &top, GeneralCase &c);

/// The rest. `top` is the whole file. Faults go to the log.
void read_general_case(KeyTable &top, GeneralCase &c);

} // namespace raybend
