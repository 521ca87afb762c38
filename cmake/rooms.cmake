# One static library a room. A room may use the rooms named after it and nothing else; tests/architecture checks the includes.
find_package(fmt REQUIRED)
find_package(Eigen3 REQUIRED)
find_package(PkgConfig REQUIRED)
pkg_check_modules(UTF8PROC REQUIRED IMPORTED_TARGET libutf8proc)
pkg_check_modules(TOMLPP REQUIRED IMPORTED_TARGET tomlplusplus)
pkg_check_modules(CBC REQUIRED IMPORTED_TARGET cbc)
pkg_check_modules(HTTPLIB REQUIRED IMPORTED_TARGET cpp-httplib)  # what the tests ask with
pkg_check_modules(SODIUM REQUIRED IMPORTED_TARGET libsodium)
pkg_check_modules(QRENCODE REQUIRED IMPORTED_TARGET libqrencode)
find_package(OpenSSL REQUIRED)
find_package(Threads REQUIRED)
find_package(SQLiteCpp REQUIRED)
find_package(nlohmann_json REQUIRED)
find_package(Boost REQUIRED)  # headers: Boost.Math, Boost.Beast, Boost.Asio
find_package(SUNDIALS REQUIRED COMPONENTS cvode)
include(${CMAKE_SOURCE_DIR}/cmake/embed.cmake)

# What nearly every file includes is parsed once for all rooms and once for all tests. A file still names what it uses:
# the sanitize and fuzz presets compile without these.
add_library(precompiled OBJECT ${CMAKE_SOURCE_DIR}/cmake/precompiled.cpp)
target_link_libraries(precompiled PRIVATE fmt::fmt Eigen3::Eigen)
target_precompile_headers(precompiled PRIVATE <algorithm> <array> <chrono> <cmath> <cstdint> <filesystem> <functional> <limits> <map>
                          <memory> <numeric> <optional> <random> <set> <span> <string> <string_view> <utility> <variant> <vector>
                          <fmt/format.h> <Eigen/Core>)

function(room name)
  file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/src/${name}/*.cpp)
  if(sources)
    add_library(${name} STATIC ${sources})
    target_include_directories(${name} PUBLIC ${CMAKE_SOURCE_DIR}/src)
    target_link_libraries(${name} PUBLIC ${ARGN})
    target_precompile_headers(${name} REUSE_FROM precompiled)
  else()
    add_library(${name} INTERFACE)
    target_include_directories(${name} INTERFACE ${CMAKE_SOURCE_DIR}/src)
    target_link_libraries(${name} INTERFACE ${ARGN})
  endif()
endfunction()

room(quantity fmt::fmt)
room(science quantity Eigen3::Eigen Boost::headers)
target_link_libraries(science PRIVATE SUNDIALS::cvode SUNDIALS::nvecserial SUNDIALS::sunmatrixdense SUNDIALS::sunlinsoldense)
room(larder science PkgConfig::TOMLPP)
target_link_libraries(larder PRIVATE PkgConfig::UTF8PROC)
embed_text_files(larder oddgrist::larder data/catalogue/*.toml data/hazards/*.toml)
room(process larder)
room(compose process PkgConfig::CBC Threads::Threads)
room(round compose)
room(gyle compose)
room(files gyle round nlohmann_json::nlohmann_json)
room(store files SQLiteCpp Boost::headers)
room(present gyle round)
room(server store present)
target_link_libraries(server PRIVATE Boost::headers PkgConfig::SODIUM PkgConfig::QRENCODE OpenSSL::SSL Threads::Threads)
# `./dev build` makes build/web from web/ first; without it the program serves the API and says that it has no page.
embed_text_files(server oddgrist::server build/web/* docs/openapi.json docs/schema/*.json)
