// Versions of the libraries, and the start and end of MPI.
#include "solver/versions.hpp"
#include <cholmod.h>
#include <cstdlib>
#include <deal.II/base/config.h>
#include <deal.II/base/mpi.h>
#include <gmsh.h>
#include <memory>
#include <mpi.h>
#include <omp.h>
#include <p4est_config.h>

extern "C" void openblas_set_num_threads(int); // its header's name differs between systems

namespace raybend {

namespace {
std::unique_ptr<dealii::Utilities::MPI::MPI_InitFinalize> &parallel() {
  static std::unique_ptr<dealii::Utilities::MPI::MPI_InitFinalize> instance;
  return instance;
}
} // namespace

std::vector<std::pair<std::string, std::string>> solver_versions() {
  char mpi[MPI_MAX_LIBRARY_VERSION_STRING] = "";
  int length = 0;
  MPI_Get_library_version(mpi, &length);
  return {{"deal.II", DEAL_II_PACKAGE_VERSION},
          {"p4est", P4EST_VERSION},
          {"MPI", std::string(mpi).substr(0, std::string(mpi).find(','))},
          {"Gmsh", GMSH_API_VERSION},
          {"CHOLMOD", std::to_string(CHOLMOD_MAIN_VERSION) + "." + std::to_string(CHOLMOD_SUB_VERSION) + "." +
                          std::to_string(CHOLMOD_SUBSUB_VERSION)}};
}

void start_parallel() {
  // Without mpirun Open MPI would start a daemon that could start further ranks, and each process makes and removes folders
  // in one of the user's: of many that begin and end side by side one in a hundred found it gone and did not start.
  // Other MPIs know no such variables.
  if (!std::getenv("OMPI_COMM_WORLD_SIZE")) {
    setenv("OMPI_MCA_ess_singleton_isolated", "1", 0);
    setenv("OMPI_MCA_orte_create_session_dirs", "0", 0);
  }
  static char name[] = "raybend", *words[] = {name, nullptr};
  int argc = 1;
  char **argv = words;
  parallel() = std::make_unique<dealii::Utilities::MPI::MPI_InitFinalize>(argc, argv, 1);
}
void start_alone() {
  openblas_set_num_threads(1);
  omp_set_num_threads(1);
  start_parallel();
}
void stop_parallel() {
  parallel().reset();
}

} // namespace raybend
