// Tags of the forefoot mesh.
#pragma once

namespace raybend {

enum CellTag : unsigned { tag_tissue = 1, tag_cortical = 2, tag_trabecular = 3, tag_insole = 4 };

/// Boundary ids.
enum FaceTag : unsigned {
  face_free = 0,
  face_plantar = 1,      ///< plantar skin
  face_insole_top = 2,   ///< matches face_plantar face by face
  face_sole_bottom = 3,  ///< on the ground
  face_tissue_base = 4,  ///< proximal cut through the tissue
  face_insole_base = 5,  ///< proximal cut through insole and sole
  face_insole_rim = 6,   ///< medial and lateral sides of insole and sole
  face_insole_front = 7, ///< distal cut through insole and sole
  face_bone_base = 10    ///< + ray (1..5): proximal face of a metatarsal
};

} // namespace raybend
