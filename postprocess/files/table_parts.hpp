// Parts of the JSON document and the CSV tables that one activity and a whole day share.
#pragma once
#include "postprocess/compare/ranking.hpp"
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace raybend {

using Json = nlohmann::ordered_json;

Json number(double value); ///< whole numbers as integers
std::string json_text(const Json &j);

/// Program, cautions, question, answer, warnings, patient.
Json common_json(const ReportInput &input, const std::string &answer,
                 const std::vector<std::string> &warnings);
Json activity_json(const ReportInput &input);
Json ranking_json(const ReportInput &input, const std::vector<RankedDesign> &ranking);
Json designs_json(const ReportInput &input); ///< every number of every design
void add_case(Json &j,
              const ReportInput &input); ///< text, resolved keys; time_s: seconds of solving all designs

/// Heads and lines of rays.csv, changes.csv and shaft.csv; each line begins with `before`.
std::string rays_head();
std::string rays_lines(const ReportInput &input, const std::string &before);
std::string changes_head();
std::string changes_lines(const ReportInput &input, const std::string &before);
std::string instants_head(); ///< rays.csv at every instant of the step
std::string instants_lines(const ReportInput &input, const std::string &before);
std::string shaft_head();
std::string shaft_lines(const ReportInput &input, const std::string &before);

} // namespace raybend
