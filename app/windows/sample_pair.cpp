#include "app/windows/sample_pair.h"

#include "app/document/sample_library.h"

namespace beatwitness::app {
namespace {

QString firstNamed(const QDir& folder, const QString& word) {
    const auto names = folder.entryList({word + QStringLiteral("*.fit"), word + QStringLiteral("*.csv")},
                                        QDir::Files, QDir::Name);
    return names.isEmpty() ? QString() : folder.filePath(names.front());
}

}  // namespace

FilesByRole findSamplePair() {
    const auto folder = sampleFolder();
    if (!folder) return {};
    const FilesByRole pair{
        firstNamed(*folder, QStringLiteral("*strap")), {firstNamed(*folder, QStringLiteral("*band"))}, {}};
    return pair.reference.isEmpty() || pair.tests.front().isEmpty() ? FilesByRole{} : pair;
}

}  // namespace beatwitness::app
