// The parts the catalogue is put together from. Used by the catalogue alone.
#pragma once
#include "cases/catalogue/catalogue.hpp"

namespace raybend {

CatalogueRow number_row(const std::string &key, const std::string &unit);
CatalogueRow integer_row(const std::string &key, const std::string &unit);
CatalogueRow text_row(const std::string &key);
CatalogueRow label_row(const std::string &key);
CatalogueRow choice_row(const std::string &key);
CatalogueRow choice_list_row(const std::string &key);
CatalogueRow boolean_row(const std::string &key);

void add_patient_rows(std::vector<CatalogueRow> &rows);
void add_ray_rows(std::vector<CatalogueRow> &rows);
void add_activity_rows(std::vector<CatalogueRow> &rows);
void add_shoe_rows(std::vector<CatalogueRow> &rows);
void add_material_rows(std::vector<CatalogueRow> &rows);
void add_mesh_rows(std::vector<CatalogueRow> &rows);
void add_design_rows(std::vector<CatalogueRow> &rows);
void add_design_tables(std::vector<CatalogueTable> &tables);
void add_support_rows(std::vector<CatalogueRow> &rows);
void add_beam_rows(std::vector<CatalogueRow> &rows);
void add_beam_quantity_rows(std::vector<CatalogueRow> &rows);

} // namespace raybend
