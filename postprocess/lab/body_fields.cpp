// A solved body for ParaView.
#include "postprocess/lab/body_fields.hpp"
#include "solver/body/dilatation.hpp"
#include <deal.II/numerics/data_out.h>
#include <deal.II/numerics/data_postprocessor.h>
#include <fstream>
#include <limits>
#include <stdexcept>

namespace raybend {

using namespace dealii;

namespace {

class Fields : public DataPostprocessor<3> {
public:
  Fields(const Body &body, bool finite) : body_(body), finite_(finite) {}
  std::vector<std::string> get_names() const override {
    return {"displacement_mm", "displacement_mm", "displacement_mm", "stress_xx_MPa", "stress_yy_MPa",
            "stress_zz_MPa",   "stress_xy_MPa",   "stress_yz_MPa",   "stress_zx_MPa", "von_mises_MPa"};
  }
  std::vector<DataComponentInterpretation::DataComponentInterpretation>
  get_data_component_interpretation() const override {
    using namespace DataComponentInterpretation;
    std::vector<DataComponentInterpretation::DataComponentInterpretation> list(3,
                                                                               component_is_part_of_vector);
    list.resize(10, component_is_scalar);
    return list;
  }
  UpdateFlags get_needed_update_flags() const override {
    return update_values | update_gradients | update_quadrature_points;
  }
  void evaluate_vector_field(const DataPostprocessorInputs::Vector<3> &in,
                             std::vector<dealii::Vector<double>> &out) const override {
    const auto cell = in.get_cell<3>();
    Dilatation dilatation(body_);
    dilatation.reinit(cell);
    Sample s;
    s.material =
        body_.problem().material_at(Level::logical_point(cell, Point<3>(0.5, 0.5, 0.5)), cell->material_id());
    const bool mixed = body_.problem().materials[s.material]->mixed();
    for (unsigned p = 0; p < out.size(); ++p) {
      for (unsigned i = 0; i < 3; ++i) {
        s.x[i] = in.evaluation_points[p][i];
        out[p][i] = in.solution_values[p][i];
        s.gradient[i] = in.solution_gradients[p][i];
      }
      if (!finite_)
        dilatation.mix(s);
      const Sym2 t = finite_ ? body_.cauchy_stress(s) : body_.small_stress(s);
      const double stress[6] = {t[0][0], t[1][1], t[2][2], t[0][1], t[1][2], t[2][0]};
      for (unsigned i = 0; i < 6; ++i)
        out[p][3 + i] = finite_ && mixed && i < 3 ? std::numeric_limits<double>::quiet_NaN() : stress[i];
      out[p][9] = std::sqrt(1.5) * deviator(t).norm();
    }
  }

private:
  const Body &body_;
  bool finite_;
};

} // namespace

void write_body_fields(const Body &body, bool finite, const std::string &path) {
  Fields fields(body, finite);
  body.u.update_ghost_values();
  DataOut<3> out;
  out.attach_dof_handler(body.level().dofs);
  out.add_data_vector(body.u, fields);
  out.build_patches(*body.level().mapping, 2, DataOut<3>::curved_inner_cells);
  body.u.zero_out_ghost_values();
  std::ofstream file(path);
  out.write_vtu(file);
  file.flush();
  if (!file)
    throw std::runtime_error("could not write " + path);
}

} // namespace raybend
