// report.html: the sections in their order, and the frame round them.
#include "postprocess/page/page.hpp"
#include "geometry/cautions.hpp"
#include "geometry/version.hpp"
#include "postprocess/page/drawings/drawing.hpp"
#include "postprocess/page/drawings/pressure_map.hpp"
#include "postprocess/page/drawings/step_chart.hpp"
#include "postprocess/page/encoding.hpp"
#include "postprocess/page/page_parts.hpp"
#include "postprocess/page/page_resources.hpp"
#include "postprocess/page/scene.hpp"
#include "postprocess/page/sure_section.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/day_answer.hpp"
#include "postprocess/words/load_words.hpp"
#include "postprocess/words/painful.hpp"
#include "postprocess/words/picture_words.hpp"
#include "postprocess/words/summary_parts.hpp"
#include "postprocess/words/warnings.hpp"
#include <algorithm>
#include <filesystem>
#include <regex>

namespace raybend {

namespace {

std::string paragraph(const std::string &content, const std::string &classes = "") {
  return "<p" + (classes.empty() ? "" : " class=\"" + classes + "\"") + ">" + content + "</p>\n";
}

/// A sentence of the program: what a terminal writes as "ue" as people do.
std::string sentence(const std::string &words) {
  static const std::regex microstrain("\\bue\\b");
  return std::regex_replace(escaped(words), microstrain, "µε");
}

std::vector<std::string> sentences(const std::vector<std::string> &texts) {
  std::vector<std::string> list;
  for (const std::string &text : texts)
    list.push_back(sentence(text));
  return list;
}

std::string answer_section(const Answer &said, const bool coarse, const ReportInput &input) {
  std::string first, rest;
  for (std::size_t i = 0; i < said.sentences.size(); ++i)
    (i == 0 ? first : rest) += (i > 1 ? " " : "") + sentence(said.sentences[i]);
  std::string text = paragraph(first, "lead");
  if (!rest.empty())
    text += paragraph(rest);
  if (coarse)
    text += paragraph(sentence(resolution_words(input)), "note");
  return page_section("answer", "Answer", text, "answer");
}

std::string caution_section(const std::vector<std::string> &warnings) {
  std::vector<std::string> list;
  for (const char *words : cautions)
    list.push_back(escaped(words));
  std::string text = page_section("cautions", "Cautions", page_list(list), "cautions");
  if (!warnings.empty())
    text += page_section("warnings", "Warnings", page_list(sentences(warnings)), "warnings");
  return text;
}

std::string patient_section(const ReportInput &input, const std::string &loads) {
  const Forefoot &f = input.foot;
  std::string text = "<dl class=\"facts\">";
  const auto fact = [&](const std::string &name, const std::string &value) {
    text += "<div><dt>" + name + "</dt><dd>" + value + "</dd></div>";
  };
  fact("Sex", f.sex == Sex::female ? "female" : "male");
  fact("Body mass", as_given(f.body_mass_kg) + " kg");
  fact("Foot",
       std::string(f.side == Side::left ? "left" : "right") + ", " + as_given(f.foot_length) + " mm long");
  fact("Painful ray", painful_words(f));
  text += "</dl>\n";
  if (!input.note.empty())
    text += paragraph(escaped(input.note), "quiet");
  return page_section("patient", "Patient and loads", text + loads);
}

/// Numbers of one activity.
std::string load_facts(const PageActivity &a, const PageNumbers &numbers) {
  const std::string key = a.key + "/activity/";
  std::string text = "<dl class=\"facts\">";
  const auto fact = [&](const std::string &name, const std::string &value) {
    text += "<div><dt>" + name + "</dt><dd>" + value + "</dd></div>";
  };
  fact("Activity", escaped(spoken(a.input.activity)));
  fact("Largest force on forefoot and toes", numbers.value(key + "vertical_force_n") + " N, " +
                                                 numbers.value(key + "force_body_weights", 2) +
                                                 " body weights");
  fact("Heel rise", numbers.value(key + "heel_rise_deg") + "°");
  if (numbers.number(key + "carried_kg") > 0)
    fact("Carried", numbers.value(key + "carried_kg", 1) + " kg");
  fact("Steps an hour, both feet", numbers.value(key + "steps_per_hour"));
  fact("Loadings of this foot a day", fixed(a.input.activity.cycles()));
  text += "</dl>\n";
  const std::vector<std::string> special = special_words(a.input.activity.activity);
  return special.empty() ? text : text + paragraph(escaped(list_of(special)) + ".", "quiet");
}

std::string designs_section(const ReportInput &input) {
  std::string text;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i) {
    const DesignOutcome &o = input.outcomes[i];
    const std::string drawing = design_drawing(input, i, false);
    if (drawing.empty() && o.made_of.empty())
      continue;
    text += "<figure class=\"design\"><figcaption>" + page_letter(i) + " " + escaped(o.name_for_people()) +
            (o.made_of.empty() ? "" : " <span class=\"quiet\">" + escaped(o.made_of.front()) + "</span>") +
            "</figcaption>\n" + drawing + "</figure>\n";
  }
  if (text.empty())
    return "";
  return page_section(
      "designs", "Designs, to scale",
      paragraph(std::string(input.foot.side == Side::left ? "Left" : "Right") +
                    " foot from above, toes to the right, and the section along ray " +
                    std::to_string(input.foot.painful_ray) +
                    ". Dimensions in mm, as made, unloaded; only the forefoot part is drawn. Each also "
                    "stands in the folder as design-NAME.svg, to print at 1:1.",
                "quiet") +
          "<div class=\"designs n" + std::to_string(input.outcomes.size() > 6 ? 3 : 2) + "\">\n" + text +
          "</div>\n");
}

std::string pressure_section(const PageActivity &a, const PageNumbers &numbers) {
  const PressureMaps maps = pressure_maps(a.input);
  const std::string head = std::to_string(a.input.foot.painful_ray);
  std::string figures;
  for (std::size_t i = 0; i < maps.svg.size(); ++i)
    if (!maps.svg[i].empty()) {
      const std::string key = a.key + "/designs/" + std::to_string(i) + "/with_support/rays/" +
                              std::to_string(a.input.foot.painful_ray - 1) + "/head_pressure_peak";
      figures += "<figure class=\"map\" data-letter=\"" + design_letter(i) + "\" data-name=\"" +
                 escaped(a.input.outcomes[i].name_for_people()) + "\"><figcaption>" + page_letter(i) +
                 " <span class=\"map-name\">" + escaped(a.input.outcomes[i].name_for_people()) +
                 "</span>"
                 "<span class=\"map-peak\">head " +
                 head + ": " + numbers.banded(key + "_kpa", key + "_band_kpa") +
                 " kPa</span></figcaption>\n" + maps.svg[i] + "</figure>\n";
    }
  if (figures.empty())
    return "";
  const bool left = a.input.foot.side == Side::left;
  return page_section(
      "pressure", "Pressure under the foot",
      paragraph(
          std::string(left ? "Left" : "Right") + " foot from above, toes up, medial side on the " +
              (left ? "right" : "left") + "; " + escaped(spoken(a.input.activity)) +
              ". The largest at each place over the step; white: below 5 kPa. Square: the 10 × 10 mm under "
              "head " +
              head +
              " that carry most; the number is their mean. Dashed: edges of support elements and of layers "
              "that end.",
          "quiet") +
          "<div class=\"key\">" + maps.key + "</div>\n<div class=\"pair\">\n<div class=\"maps\">\n" +
          figures + "</div>\n<div id=\"pressure-pair\" class=\"screen\" hidden></div>\n</div>\n");
}

std::string bones_section(const ReportInput &input, const bool scene, const std::string &picture) {
  if (!scene && picture.empty())
    return "";
  std::string text = paragraph("Stress along each ray at the instant that strains it most, " +
                                   escaped(spoken(input.activity)) +
                                   ". Blue: compression, orange: tension, one scale for all designs; of a "
                                   "difference, orange: more stressed, "
                                   "blue: less. Below the bones "
                                   "the insole’s top surface as made, with the edges of support elements.",
                               "quiet");
  if (scene)
    text += "<div id=\"bones-turn\" class=\"screen\" hidden></div>\n";
  text += "<figure id=\"bones-picture\" class=\"" + std::string(scene ? "instead" : "picture") + "\">";
  if (!picture.empty())
    text += "<img alt=\"The five metatarsals under every design, from above and from below, coloured by the "
            "stress "
            "along each ray and by what of it differs from the reference\" src=\"data:image/jpeg;base64," +
            base64(picture) + "\">";
  else
    text += "<p class=\"note\">The bones in space need WebGL, which is not to be had here, and the run was "
            "made without "
            "pictures. The numbers of every ray stand in the tables below.</p>";
  return page_section("bones", "The metatarsals in space", text + "</figure>\n");
}

std::string surer_section(const ReportInput &input) {
  if (input.has_chances())
    return ""; // said there, by what it would tell
  std::vector<std::string> list = {"Declination of the metatarsals and the skin’s thickness under the heads, "
                                   "by X-ray and ultrasound: what was not "
                                   "measured is scaled from foot length, sex and mass.",
                                   "Pressure in the shoe with the insole in use, against the maps above.",
                                   "The bending stiffness of the shoe at the ball.",
                                   "Hardness and thickness of the materials as delivered."};
  std::size_t assumed = 0, patient = 0;
  for (const ReportInput::Resolved &r : input.resolved)
    if (r.key.rfind("patient.", 0) == 0) {
      ++patient;
      assumed += r.origin.find("line") == std::string::npos && r.origin.find("given") == std::string::npos;
    }
  if (patient > 0 && assumed > 0)
    list.push_back(
        "Every measurement that was not given, with its default and source: raybend check, raybend explain.");
  return page_section("surer", "What to measure to be surer", page_list(list));
}

std::string how_section(const std::vector<const ReportInput *> &activities, const bool whole_day) {
  const ReportInput &input = *activities.front();
  std::string text = "<dl class=\"facts\">";
  const auto fact = [&](const std::string &name, const std::string &value) {
    text += "<div><dt>" + name + "</dt><dd>" + value + "</dd></div>";
  };
  fact("Program", std::string("Raybend ") + raybend_version);
  if (!input.date.empty())
    fact("Calculated", escaped(input.date));
  if (!input.case_path.empty())
    fact("Case", escaped(std::filesystem::path(input.case_path).filename().string()));
  if (const std::string text_of_case = case_echo(input); !text_of_case.empty())
    fact("SHA-256 of case.txt", "<code>" + sha256_hex(text_of_case) + "</code>");
  if (const ReportInput::Resolved *r = input.find("mesh.resolution"))
    fact("Resolution", escaped(r->value));
  for (const auto &[name, version] : input.versions)
    if (name != "raybend")
      fact(escaped(name), escaped(version));
  text += "</dl>\n";
  if (!input.changes.empty())
    text += paragraph("Changed on the command line: " + escaped(list_of(input.changes)) + ".");
  text += paragraph(
      "Five metatarsals in soft tissue on insole and sole, finite elements at finite strain, unilateral "
      "contact with skin that sticks, joints with stops. Designs are ranked by the largest strain along the "
      "painful ray on the bone’s surface, between " +
      counted_words(input.foot) +
      " of its length. µε: microstrain. Value ± band: "
      "what the mesh leaves open, and nothing else.");
  const bool course =
      std::any_of(activities.begin(), activities.end(), [](const ReportInput *a) { return has_course(*a); });
  text += "<details><summary>What the numbers mean, and what they do not</summary>\n" +
          page_list(sentences(meaning_list({whole_day, true, false, course}))) + "</details>\n";
  return page_section("how", "How it was calculated", text);
}

std::string signature() {
  return "<section id=\"signature\" class=\"signature\" "
         "aria-label=\"Signature\"><div>Name</div><div>Date</div>"
         "<div>Signature of the practitioner</div></section>\n";
}

/// The file: head with its policy, the sections, the scripts.
std::string whole_page(const ReportInput &input, const std::string &sections, const std::string &scene) {
  const std::string title = escaped(input.title.empty() ? "Insole comparison" : input.title);
  const std::string style = page_style, three = three_script, script = page_script;
  std::string policy = "default-src 'none'; img-src data:; base-uri 'none'; form-action 'none'; style-src '" +
                       policy_hash(style) + "'";
  if (!scene.empty())
    policy += "; script-src '" + policy_hash(three) + "' '" + policy_hash(script) + "'";
  else
    policy += "; script-src '" + policy_hash(script) + "'";
  std::string text = "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                     "<meta http-equiv=\"Content-Security-Policy\" content=\"" +
                     policy +
                     "\">\n"
                     "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>" +
                     title + "</title>\n<style>" + style +
                     "</style>\n</head>\n<body>\n<a class=\"skip screen\" "
                     "href=\"#answer\">To the answer</a>\n<header>\n<p class=\"program\">Raybend " +
                     raybend_version +
                     (input.date.empty() ? "" : " · calculated " + escaped(input.date.substr(0, 10))) +
                     "</p>\n<h1>" + title + "</h1>\n" +
                     (input.question.empty() ? "" : paragraph(escaped(input.question), "question")) +
                     "</header>\n<main>\n" + sections + "</main>\n<footer>\n<p>Written by Raybend " +
                     raybend_version + ". Numbers of this page: summary.json, beside it in the folder.";
  if (!scene.empty())
    text += " Bones in space: three.js r111, MIT licence.";
  text += "</p>\n";
  if (!scene.empty())
    text += "<details class=\"screen\"><summary>Licence of three.js</summary><p class=\"licence\">" +
            escaped(three_licence) + "</p></details>\n";
  text += "</footer>\n";
  if (!scene.empty())
    text += "<script type=\"application/json\" id=\"scene\">" + scene + "</script>\n<script>" + three +
            "</script>\n";
  return text + "<script>" + script + "</script>\n</body>\n</html>\n";
}

/// Where the load goes, design by design.
std::vector<std::string> load_points(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  std::vector<std::string> list;
  for (const RankedDesign &d : ranking)
    if (d.from_unsupported)
      list.push_back(page_letter(d.place) + " with its support elements, " +
                     sentence(load_line(*d.from_unsupported, input.foot.painful_ray)) + ".");
    else if (d.from_reference)
      list.push_back(page_letter(d.place) + " against the reference, " +
                     sentence(load_line(*d.from_reference, input.foot.painful_ray)) + ".");
  return list;
}

std::string know_section(const Answer &said, const std::vector<std::string> &loads) {
  std::string text;
  if (!said.points.empty())
    text += page_list(sentences(said.points));
  if (!loads.empty())
    text += "<details><summary>Where the load goes, design by design</summary>\n" + page_list(loads) +
            "</details>\n";
  return text.empty() ? "" : page_section("know", "What else to know", text);
}

std::string bar_words(const ReportInput &input) {
  return std::string("Filled: as made. Hollow: the same insole without its support elements. Whiskers: ") +
         (input.has_chances()
              ? "nine in ten over patient, model and mesh, on the strain of the reference; of the reference "
                "itself and of hollow bars what the mesh leaves open."
              : "what the mesh leaves open.");
}

/// On the screen alone: paper has four pages.
std::string step_section(const ReportInput &input, const std::string &of_day = "") {
  const std::string chart = step_chart(input);
  return chart.empty()
             ? ""
             : page_section("step",
                            "Strain in ray " + std::to_string(input.foot.painful_ray) + " over the step" +
                                of_day,
                            paragraph("Largest along the bone at each instant that was solved, insoles as "
                                      "made, in microstrain; the ranking takes the highest point of a line.",
                                      "quiet") +
                                chart,
                            "screen");
}

} // namespace

std::string report_page(const ReportInput &input, const std::vector<RankedDesign> &ranking,
                        const std::string &summary_json, const std::string &bones_picture) {
  const PageNumbers numbers(summary_json);
  const PageActivity a{input, ranking, ""};
  const std::string scene = scene_json(input), ray = std::to_string(input.foot.painful_ray);
  const std::string picture = half_size_jpeg(bones_picture);
  const Answer said = answer(input, ranking);
  const std::string sections =
      answer_section(said, is_coarse(input), input) + sure_section(input, numbers) +
      know_section(said, load_points(input, ranking)) + caution_section(report_warnings(input, ranking)) +
      patient_section(input, load_facts(a, numbers)) +
      page_section("ranking", "Ranking by ray " + ray, ranking_rows(a, numbers)) + designs_section(input) +
      page_section("strain", "Strain in ray " + ray,
                   strain_bars(a, numbers) + paragraph(bar_words(input), "quiet")) +
      step_section(input) + pressure_section(a, numbers) + bones_section(input, !scene.empty(), picture) +
      page_section("rays", "The rays, design by design", ray_tables(a, numbers), "screen") +
      surer_section(input) + how_section({&input}, false) + signature();
  return whole_page(input, sections, scene);
}

std::size_t shown_activity(const DayInput &input, const DayRanking &day) {
  const DayStrain &reference = day.of(reference_place(input.common())).with;
  const std::vector<double> &share = reference.share.front();
  return share.size() != input.activities.size()
             ? 0
             : std::max_element(share.begin(), share.end()) - share.begin();
}

std::string day_page(const DayInput &input, const DayRanking &day,
                     const std::vector<std::vector<RankedDesign>> &rankings, const std::string &summary_json,
                     const std::string &bones_picture) {
  const PageNumbers numbers(summary_json);
  const ReportInput &common = input.common();
  const std::size_t shown = shown_activity(input, day);
  const PageActivity a{input.activities[shown], rankings[shown], "/activities/" + std::to_string(shown)};
  const std::string scene = scene_json(a.input), ray = std::to_string(common.foot.painful_ray);
  const std::string picture = half_size_jpeg(bones_picture);
  const Answer said = day_answer(input, day);
  std::string tables, loads;
  std::vector<const ReportInput *> activities;
  for (std::size_t i = 0; i < input.activities.size(); ++i) {
    const PageActivity one{input.activities[i], rankings[i], "/activities/" + std::to_string(i)};
    activities.push_back(&one.input);
    tables += "<h3>" + escaped(one.input.activity.words()) + "</h3>\n" + ranking_rows(one, numbers) +
              ray_tables(one, numbers);
  }
  const std::string order = order_words(input, day);
  const std::string sections =
      answer_section(said, is_coarse(common), common) + sure_section(common, numbers) +
      know_section(said, load_points(a.input, a.ranking)) + caution_section(day_warnings(input, day)) +
      patient_section(common, day_activities(input, numbers)) +
      page_section(
          "ranking", "Ranking over the day by ray " + ray,
          paragraph(
              "Day-equivalent strain: the range of strain that does the same fatigue damage to the worst "
              "spot of the bone when every step "
              "of the day has it, for four published exponents m of bone fatigue. Life to reference: at "
              "the smallest and at the largest m. " +
                  escaped(life_caution),
              "quiet") +
              day_ranking_rows(input, day, numbers) + (order.empty() ? "" : paragraph(sentence(order)))) +
      designs_section(common) +
      page_section(
          "strain", "Day-equivalent strain in ray " + ray,
          day_bars(input, day, numbers) +
              paragraph("At m = " + fixed(fatigue_laws[one_law].exponent, 1) + ". " + bar_words(common),
                        "quiet")) +
      step_section(a.input, ", " + escaped(one_line(a.input.activity.words()))) +
      pressure_section(a, numbers) + bones_section(a.input, !scene.empty(), picture) +
      page_section("rays", "Activity by activity", tables, "screen") + surer_section(common) +
      how_section(activities, true) + signature();
  return whole_page(common, sections, scene);
}

std::vector<std::pair<std::string, std::string>> design_drawings(const ReportInput &input) {
  std::vector<std::pair<std::string, std::string>> files;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i)
    if (const std::string svg = design_drawing(input, i, true); !svg.empty())
      files.emplace_back("design-" + input.outcomes[i].design.name + ".svg",
                         "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" + svg);
  return files;
}

} // namespace raybend
