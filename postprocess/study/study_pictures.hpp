// Pictures of a study. Designs differ by lightness, dashes and marker, parts of a bar by fill: they read in grey.
#pragma once
#include "postprocess/canvas/canvas.hpp"
#include "postprocess/study/analysis.hpp"

namespace raybend {

struct StudyPicture {
  std::string name; ///< of its files, without ending
  Drawing drawing;  ///< `data` and `analysis` must live as long
  int width = 0, height = 0;
};

/// Response curves and, where the plan gives them, tornado, index bars and a heat map, for every output.
std::vector<StudyPicture> study_pictures(const StudyData &data, const StudyAnalysis &analysis);

/// Writes each as FOLDER/NAME.png and .svg; `say` hears of each before. Returns why there are none, "" where all are there.
std::string write_study_pictures(const std::vector<StudyPicture> &pictures, const std::string &folder,
                                 const std::function<void(const std::string &)> &say);

} // namespace raybend
