// One refinement level: triangulation, Q2 space, curved mapping and matrix-free data.
#include "solver/discretization/level.hpp"
#include <algorithm>
#include <cmath>
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/dofs/dof_tools.h>
#include <deal.II/fe/fe_q.h>
#include <deal.II/grid/grid_tools.h>
#include <deal.II/numerics/vector_tools.h>
#include <limits>
#include <map>
#include <stdexcept>

namespace raybend {

using namespace dealii;

namespace {

void create(parallel::distributed::Triangulation<3> &tria, const Problem &problem) {
  const CoarseMesh &mesh = problem.mesh;
  std::vector<Point<3>> vertices;
  for (const Vec3 &v : mesh.vertices)
    vertices.emplace_back(v[0], v[1], v[2]);
  std::vector<CellData<3>> cells(mesh.cells.size());
  for (std::size_t i = 0; i < cells.size(); ++i) {
    for (unsigned v = 0; v < 8; ++v)
      cells[i].vertices[v] = mesh.cells[i][v];
    cells[i].material_id = mesh.tags[i];
  }
  tria.create_triangulation(vertices, cells, SubCellData());

  std::map<std::array<unsigned, 4>, unsigned> ids; // by a face's vertices
  for (const auto &f : mesh.faces) {
    std::array<unsigned, 4> key = {f.vertices[0], f.vertices[1], f.vertices[2], f.vertices[3]};
    std::sort(key.begin(), key.end());
    ids[key] = f.id;
  }
  std::size_t found = 0;
  for (const auto &cell : tria.cell_iterators_on_level(0))
    for (const unsigned f : cell->face_indices())
      if (const auto face = cell->face(f); face->at_boundary()) {
        std::array<unsigned, 4> key = {face->vertex_index(0), face->vertex_index(1), face->vertex_index(2),
                                       face->vertex_index(3)};
        std::sort(key.begin(), key.end());
        const auto it = ids.find(key);
        face->set_boundary_id(it == ids.end() ? 0 : it->second);
        found += it != ids.end();
      }
  if (found != ids.size())
    throw std::logic_error("a face of the mesh that carries a tag is no boundary face");
  for (const ContactPair &pair : problem.contact) {
    // Matching faces become "periodic" so that face loops see both sides, on any rank. No unknowns are
    // identified.
    std::vector<GridTools::PeriodicFacePair<Triangulation<3>::cell_iterator>> pairs;
    GridTools::collect_periodic_faces(tria, pair.upper_id, pair.lower_id, pair.logical_direction, pairs);
    tria.add_periodicity(pairs);
  }
}

/// Unknowns that fixed_nodes hold, and their values.
std::map<types::global_dof_index, double> prescribed_nodes(const Problem &problem,
                                                           const DoFHandler<3> &dofs) {
  std::map<types::global_dof_index, double> held;
  const FiniteElement<3> &fe = dofs.get_fe();
  const auto &support = fe.get_unit_support_points();
  std::vector<types::global_dof_index> index(fe.n_dofs_per_cell());
  for (const auto &cell : dofs.active_cell_iterators()) {
    if (cell->is_artificial())
      continue;
    cell->get_dof_indices(index);
    std::map<std::array<double, 3>, Vec3> known;
    for (unsigned i = 0; i < index.size(); ++i) {
      const std::array<double, 3> unit = {support[i][0], support[i][1], support[i][2]};
      auto it = known.find(unit);
      if (it == known.end())
        it = known.emplace(unit, problem.position(Level::logical_point(cell, support[i]))).first;
      const unsigned c = fe.system_to_component_index(i).first;
      for (const FixedNodes &f : problem.fixed_nodes)
        if (f.mask[c] && f.where(it->second))
          held[index[i]] = f.value ? f.value(it->second)[c] : 0.0;
    }
  }
  return held;
}

} // namespace

Level::Level(const Problem &problem, unsigned refinements, MPI_Comm comm)
    : comm(comm), triangulation(comm, Triangulation<3>::limit_level_difference_at_vertices),
      fe(FE_Q<3>(fe_degree), 3), dofs(triangulation) {
  create(triangulation, problem);
  triangulation.refine_global(refinements);
  dofs.distribute_dofs(fe);

  IndexSet relevant;
  DoFTools::extract_locally_relevant_dofs(dofs, relevant);
  constraints.reinit(relevant);
  for (const FixedFace &f : problem.fixed)
    VectorTools::interpolate_boundary_values(
        dofs, f.id, Functions::ZeroFunction<3>(3), constraints,
        ComponentMask(std::vector<bool>{f.mask[0], f.mask[1], f.mask[2]}));
  if (!problem.fixed_nodes.empty())
    for (const auto &[i, v] : prescribed_nodes(problem, dofs))
      if (constraints.can_store_line(i))
        constraints.add_line(i);
  constraints.close();

  const std::vector<double> nodes = node_positions(problem);
  make_mapping(problem, nodes);
  make_matrix_free();
  make_positions(nodes);
}

Vec3 Level::logical_point(const Triangulation<3>::cell_iterator &cell, const Point<3> &unit) {
  Point<3> p;
  for (unsigned v = 0; v < 8; ++v)
    p += cell->vertex(v) * GeometryInfo<3>::d_linear_shape_function(unit, v);
  return {p[0], p[1], p[2]};
}

std::vector<double> Level::node_positions(const Problem &problem) const {
  constexpr double unknown = std::numeric_limits<double>::quiet_NaN();
  std::vector<double> nodes(dofs.n_dofs(), unknown);
  const std::vector<Point<3>> &support = fe.base_element(0).get_unit_support_points();
  std::vector<types::global_dof_index> index(fe.n_dofs_per_cell());
  for (const auto &cell : dofs.active_cell_iterators()) {
    if (cell->is_artificial())
      continue;
    cell->get_dof_indices(index);
    for (unsigned k = 0; k < support.size(); ++k) {
      if (!std::isnan(nodes[index[fe.component_to_system_index(0, k)]]))
        continue;
      const Vec3 p = problem.position(logical_point(cell, support[k]));
      for (unsigned d = 0; d < 3; ++d)
        nodes[index[fe.component_to_system_index(d, k)]] = p[d];
    }
  }
  return nodes;
}

void Level::make_mapping(const Problem &problem, const std::vector<double> &nodes) {
  const std::vector<Point<3>> &support = fe.base_element(0).get_unit_support_points();
  mapping = std::make_unique<MappingQCache<3>>(fe_degree);
  mapping->initialize(triangulation, [&](const Triangulation<3>::cell_iterator &cell) {
    std::vector<Point<3>> points(support.size());
    const bool seen = cell->is_active() && !cell->is_artificial();
    std::vector<types::global_dof_index> index(fe.n_dofs_per_cell());
    if (seen)
      DoFHandler<3>::active_cell_iterator(&triangulation, cell->level(), cell->index(), &dofs)
          ->get_dof_indices(index);
    for (unsigned k = 0; k < support.size(); ++k) {
      const Vec3 p = seen ? Vec3{} : problem.position(logical_point(cell, support[k]));
      for (unsigned d = 0; d < 3; ++d)
        points[k][d] = seen ? nodes[index[fe.component_to_system_index(d, k)]] : p[d];
    }
    return points;
  });
}

void Level::make_matrix_free() {
  MatrixFree<3, double>::AdditionalData data;
  data.tasks_parallel_scheme = MatrixFree<3, double>::AdditionalData::none;
  data.mapping_update_flags = update_gradients | update_JxW_values | update_quadrature_points;
  data.mapping_update_flags_inner_faces = update_values | update_JxW_values | update_normal_vectors;
  data.mapping_update_flags_boundary_faces =
      update_values | update_JxW_values | update_normal_vectors | update_quadrature_points;
  matrix_free.reinit(*mapping, dofs, constraints, QGauss<1>(n_points_1d), data);
}

void Level::make_positions(const std::vector<double> &nodes) {
  initialize(position);
  for (unsigned i = 0; i < position.locally_owned_size(); ++i)
    position.local_element(i) = nodes[position.get_partitioner()->local_to_global(i)];
  position.update_ghost_values();
}

void Level::update_shape(const Problem &problem) {
  const std::vector<double> nodes = node_positions(problem);
  make_mapping(problem, nodes);
  matrix_free.update_mapping(*mapping);
  make_positions(nodes);
}

void set_prescribed(const Problem &problem, const Level &level, Vector &u, double factor) {
  for (const FixedFace &f : problem.fixed) {
    std::map<types::global_dof_index, double> values;
    struct Value : Function<3> {
      const FixedFace &f;
      explicit Value(const FixedFace &f) : Function<3>(3), f(f) {}
      double value(const Point<3> &p, unsigned c) const override {
        return f.value ? f.value({p[0], p[1], p[2]})[c] : 0.0;
      }
    } value(f);
    VectorTools::interpolate_boundary_values(
        *level.mapping, level.dofs, f.id, value, values,
        ComponentMask(std::vector<bool>{f.mask[0], f.mask[1], f.mask[2]}));
    for (const auto &[i, v] : values)
      if (u.in_local_range(i))
        u[i] = factor * v;
  }
  if (!problem.fixed_nodes.empty())
    for (const auto &[i, v] : prescribed_nodes(problem, level.dofs))
      if (u.in_local_range(i))
        u[i] = factor * v;
}

} // namespace raybend
