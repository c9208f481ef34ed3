#include "app/document/sample_library.h"

#include <QCoreApplication>
#include <QStandardPaths>
#include <QTemporaryDir>
#include <algorithm>
#include <string>
#include <vector>

#include "app/verbs/manifest.h"
#include "app/verbs/store_sessions.h"
#include "core/recording/digest.h"
#include "core/recording/file_bytes.h"
#include "widgets/background/task_runner.h"

namespace beatwitness::app {
namespace {

namespace fs = std::filesystem;

Fault notMade(const fs::path& place, const std::string& why) {
    return {
        FaultCode::LibraryFailed,
        "the sample library could not be made here: " + why + "; a folder that can be written was expected",
        place.string(),
        {},
        {}};
}

/// Digest of the manifest and of every file that it names: other sessions, another library.
Result<std::string> digestOf(const fs::path& manifestPath, const verbs::Manifest& manifest) {
    std::vector<std::string> files{manifestPath.string()};
    for (const auto& session : manifest.sessions)
        for (const auto& wearing : session.wearings)
            files.insert(files.end(), wearing.files.begin(), wearing.files.end());
    std::ranges::sort(files);
    files.erase(std::ranges::unique(files).begin(), files.end());
    std::string digests;
    for (const auto& file : files) {
        const auto bytes = recording::fileBytes(file);
        if (!bytes) return bytes.fault();
        digests += recording::sha256(*bytes);
    }
    return recording::sha256(std::as_bytes(std::span{digests}));
}

/// Made in a folder of its own on the same disk, then moved into place: a copy that is there is whole.
Result<fs::path> make(const fs::path& target, const verbs::Manifest& manifest, const RunControl& run) {
    std::error_code failure;
    fs::create_directories(target.parent_path(), failure);
    if (failure) return notMade(target.parent_path(), failure.message());
    const QTemporaryDir workshop(QString::fromStdString((target.parent_path() / "making-XXXXXX").string()));
    if (!workshop.isValid()) return notMade(target.parent_path(), workshop.errorString().toStdString());
    const fs::path draft = fs::path{workshop.path().toStdString()} / target.filename();
    if (const auto stored = verbs::storeSessions(draft, manifest, {}, {}, run); !stored)
        return stored.fault();
    fs::rename(draft, target, failure);
    if (failure) return notMade(target, failure.message());
    return target;
}

}  // namespace

std::optional<QDir> sampleFolder() {
    const QString beside =
        QCoreApplication::applicationDirPath() + QStringLiteral("/../share/beatwitness/sample-sessions");
    for (const auto& path : {beside, QStringLiteral(BEATWITNESS_SAMPLE_DIR)})
        if (QDir folder(path); folder.exists()) return folder;
    return std::nullopt;
}

Result<fs::path> sampleLibrary(const fs::path& samples, const fs::path& dataFolder, const RunControl& run) {
    const auto manifestPath = samples / "manifest.json";
    const auto manifest = verbs::readManifest(manifestPath);
    if (!manifest) return manifest.fault();
    const auto digest = digestOf(manifestPath, *manifest);
    if (!digest) return digest.fault();
    const auto target = dataFolder / "samples" / digest->substr(0, 12) / (manifest->project + ".beatwitness");
    std::error_code failure;
    if (fs::exists(target, failure)) return target;
    return make(target, *manifest, run);
}

void openSampleLibrary(widgets::TaskRunner& runner, std::function<void(const Result<fs::path>&)> done) {
    const auto folder = sampleFolder();
    if (!folder)
        return done(Fault{FaultCode::NotFound,
                          "the sample sessions are not where the program looks for them",
                          BEATWITNESS_SAMPLE_DIR,
                          {},
                          {}});
    const fs::path samples = folder->absolutePath().toStdString();
    const fs::path data = QStandardPaths::writableLocation(QStandardPaths::AppDataLocation).toStdString();
    runner.run(
        QCoreApplication::translate("SampleLibrary", "Making the sample library"),
        [samples, data](const RunControl& run) { return sampleLibrary(samples, data, run); },
        [done = std::move(done)](Result<fs::path> path) { done(path); });
}

}  // namespace beatwitness::app
