// Fields of a solved design for ParaView.
#include "postprocess/files/fields.hpp"
#include "geometry/logical_frame.hpp"
#include "meshing/tags.hpp"
#include "solver/forefoot/state.hpp"
#include "solver/materials/material.hpp"
#include "solver/operator/contact_points.hpp"
#include <deal.II/base/mpi.h>
#include <deal.II/fe/fe_q.h>
#include <deal.II/numerics/data_out.h>
#include <deal.II/numerics/data_postprocessor.h>
#include <filesystem>
#include <stdexcept>

namespace raybend {

using namespace dealii;

namespace {

class Fields : public DataPostprocessor<3> {
public:
  explicit Fields(const ForefootState &state)
      : state_(state), side_(state.shape.foot().side == Side::left ? -1 : 1) {}

  std::vector<std::string> get_names() const override {
    return {"displacement_mm", "displacement_mm", "displacement_mm", "stress_along_ray_MPa",
            "strain_energy_mJ_per_mm3"};
  }
  std::vector<DataComponentInterpretation::DataComponentInterpretation>
  get_data_component_interpretation() const override {
    using namespace DataComponentInterpretation;
    return {component_is_part_of_vector, component_is_part_of_vector, component_is_part_of_vector,
            component_is_scalar, component_is_scalar};
  }
  UpdateFlags get_needed_update_flags() const override { return update_values | update_gradients; }

  void evaluate_vector_field(const DataPostprocessorInputs::Vector<3> &in,
                             std::vector<dealii::Vector<double>> &out) const override {
    const auto cell = in.get_cell<3>();
    const Vec3 middle = Level::logical_point(cell, Point<3>(0.5, 0.5, 0.5));
    const unsigned tag = cell->material_id();
    const Material &material = *state_.problem->materials[state_.problem->material_at(middle, tag)];
    const bool bone = tag == tag_cortical || tag == tag_trabecular;
    const Vec3 axis = bone ? state_.shape.axis_tangent(logical::ray_of(middle[1]), middle[0]) : Vec3{1, 0, 0};
    const Tensor<1, 3> t({axis[0], axis[1], axis[2]});
    for (unsigned p = 0; p < out.size(); ++p) {
      Tensor2 f;
      for (unsigned i = 0; i < 3; ++i) {
        out[p][i] = (i == 1 ? side_ : 1) * in.solution_values[p][i];
        for (unsigned j = 0; j < 3; ++j) // gradients come with respect to the mirrored place
          f[i][j] = (j == 1 ? side_ : 1) * in.solution_gradients[p][i][j] + (i == j ? 1 : 0);
      }
      const bool good = material.admissible(f);
      out[p][3] = bone && good ? t * (material.stress(f) * t) : 0;
      // Of a mixed material without the volume part that is projected cell by cell: it is not defined at a
      // point.
      const double volume = good && material.mixed() ? material.volume_energy(determinant(f)).value : 0;
      out[p][4] = good ? material.energy(f) - volume : 0;
    }
  }

private:
  const ForefootState &state_;
  double side_; ///< -1 mirrors a left foot, which is calculated as a right one
};

/// The stress-free shape with y turned round.
std::unique_ptr<MappingQCache<3>> mirrored(const Level &level) {
  auto mapping = std::make_unique<MappingQCache<3>>(fe_degree);
  const std::vector<Point<3>> nodes = FE_Q<3>(fe_degree).get_unit_support_points();
  mapping->initialize(level.triangulation, [&](const Triangulation<3>::cell_iterator &cell) {
    std::vector<Point<3>> points;
    for (const Point<3> &node : nodes) {
      Point<3> p = level.mapping->transform_unit_to_real_cell(cell, node);
      p[1] = -p[1];
      points.push_back(p);
    }
    return points;
  });
  return mapping;
}

} // namespace

std::string fields_file(const std::string &name) {
  return name + "_0.pvtu";
}

void write_fields(const ForefootState &state, const std::string &directory, const std::string &name) {
  const unsigned finest = state.levels.size() - 1;
  const Level &level = *state.levels[finest];
  const Vector &u = state.displacement[finest];
  u.update_ghost_values();

  dealii::Vector<float> material(level.triangulation.n_active_cells()), pressure(material.size()),
      area(material.size());
  for (const auto &cell : level.triangulation.active_cell_iterators())
    if (cell->is_locally_owned())
      material[cell->active_cell_index()] = state.problem->material_at(
          Level::logical_point(cell, Point<3>(0.5, 0.5, 0.5)), cell->material_id());
  // Contact pressure goes to the plantar cells of this rank by their place in the logical frame; a face seen
  // from the other side may belong to a neighbouring rank's cell, so all ranks share the list.
  std::vector<double> points;
  visit_contact(*state.operators[finest], u, [&](const ContactPoint &p) {
    points.insert(points.end(), {p.logical[0], p.logical[1], p.pressure * p.area, p.area});
  });
  u.update_ghost_values();
  std::map<std::array<int, 2>, std::array<double, 2>> sums;
  const double per = 1 << finest;
  for (const auto &list : Utilities::MPI::all_gather(level.comm, points))
    for (std::size_t i = 0; i < list.size(); i += 4) {
      auto &s = sums[{int(list[i] * per), int(list[i + 1] * per)}];
      s[0] += list[i + 2];
      s[1] += list[i + 3];
    }
  for (const auto &cell : level.triangulation.active_cell_iterators())
    if (cell->is_locally_owned())
      for (const unsigned f : cell->face_indices())
        if (cell->face(f)->boundary_id() == face_plantar) {
          const Vec3 l = Level::logical_point(cell, Point<3>(0.5, 0.5, 0.5));
          const auto it = sums.find({int(l[0] * per), int(l[1] * per)});
          if (it != sums.end() && it->second[1] > 0)
            pressure[cell->active_cell_index()] = 1000 * it->second[0] / it->second[1];
        }

  Fields fields(state);
  DataOut<3> out;
  out.attach_dof_handler(level.dofs);
  out.add_data_vector(u, fields);
  out.add_data_vector(material, "material");
  out.add_data_vector(pressure, "contact_pressure_cell_mean_kPa");
  std::unique_ptr<MappingQCache<3>> mirror;
  if (state.shape.foot().side == Side::left)
    mirror = mirrored(level);
  out.build_patches(mirror ? *mirror : *level.mapping, 2, DataOut<3>::curved_inner_cells);
  u.zero_out_ghost_values();
  std::string path = directory;
  if (path.empty() || path.back() != '/')
    path += '/';
  const unsigned ranks = Utilities::MPI::n_mpi_processes(level.comm),
                 rank = Utilities::MPI::this_mpi_process(level.comm);
  bool good = true;
  try {
    out.write_vtu_with_pvtu_record(path, name, 0, level.comm, numbers::invalid_unsigned_int, ranks);
    const std::string piece = path + name + "_0." + std::to_string(rank) + ".vtu";
    good = std::filesystem::exists(piece) && std::filesystem::file_size(piece) > 0;
  } catch (const std::exception &) {
    good = false;
  }
  if (Utilities::MPI::min(good ? 1 : 0, level.comm) == 0)
    throw std::runtime_error("could not write the fields of " + name + " (is the disk full?)");
}

} // namespace raybend
