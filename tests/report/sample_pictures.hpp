// Invented designs with surfaces and curves to draw, for tests of pictures; files and displays around them.
#pragma once
#include "postprocess/compare/report_input.hpp"
#include "tests/sample_foot.hpp"
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace raybend {

/// Sets an environment variable (null: removes it) for one test.
class Environment {
public:
  Environment(const char *name_, const char *value) : name(name_) {
    const char *now = std::getenv(name);
    had = now != nullptr;
    old = had ? now : "";
    set(value);
  }
  ~Environment() { set(had ? old.c_str() : nullptr); }

private:
  void set(const char *value) {
    if (value != nullptr)
      ::setenv(name, value, 1);
    else
      ::unsetenv(name);
  }
  const char *name;
  bool had;
  std::string old;
};

inline DesignResult picture_result(double pressure) {
  DesignResult d;
  d.converged = true;
  d.applied_force = d.ground_force = 700;
  for (int r = 1; r <= 5; ++r) {
    RayResult &ray = d.ray[r - 1];
    ray.peak_strain = {1000, 20};
    ray.peak_dorsal = {-1000, 20};
    ray.peak_bending_stress = {15, 0.5};
    for (int i = 0; i <= 10; ++i) {
      StationResult s;
      s.fraction = i / 10.0;
      s.strain_dorsal = -1000 * std::sin(M_PI * s.fraction);
      s.strain_plantar = 600 * std::sin(M_PI * s.fraction);
      ray.shaft.push_back(s);
    }
    const double y = 20 - 10.0 * r;
    ray.head_peak_pressure = {pressure, 5};
    ray.head_sensor = {20, y + 5, 0};
    Patch skin;
    skin.ray = r;
    skin.corner = {Vec3{0, y, 0}, Vec3{30, y, 0}, Vec3{30, y + 10, 0}, Vec3{0, y + 10, 0}};
    skin.value = {0, pressure, pressure, 0};
    d.plantar.push_back(skin);
    Patch bone = skin;
    bone.value = {0, -20, 10, 0};
    d.bones.push_back(bone);
  }
  return d;
}

inline std::vector<Layer> sample_layers() {
  return {{LayerRole::sole, 8, filler_foam()},
          {LayerRole::base, 5, filler_foam()},
          {LayerRole::cover, 3, filler_foam()}};
}

inline ReportInput two_designs() {
  ReportInput in;
  in.title = "Two";
  in.foot = sample_foot();
  in.activity.activity.name = "standing";
  in.activity.activity.force_bw = 1;
  for (const char *name : {"flat", "pad"}) {
    DesignOutcome o;
    o.design.name = name;
    o.design.layers = sample_layers();
    o.with = o.without = picture_result(200);
    in.outcomes.push_back(o);
  }
  return in;
}

inline std::string content(const std::filesystem::path &path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

inline unsigned big_endian(const std::string &bytes, std::size_t at) {
  unsigned value = 0;
  for (std::size_t i = 0; i < 4; ++i)
    value = value << 8 | static_cast<unsigned char>(bytes[at + i]);
  return value;
}

} // namespace raybend
