#pragma once

#include <QDialog>
#include <vector>

#include "app/document/library_document.h"
#include "core/report/figures/offset_scene.h"
#include "widgets/background/task_runner.h"

class QLabel;
class QTableWidget;

namespace beatwitness::widgets {
class SceneView;
}

namespace beatwitness::app {

/// The clock offsets of the project's devices over its sessions, as a picture and as a table. Sessions that
/// were not analysed yet are analysed first, in the background.
class OffsetsDialog : public QDialog {
    Q_OBJECT

public:
    OffsetsDialog(LibraryDocument& library, library::ProjectId project, QWidget* parent = nullptr);

private:
    struct Found {
        std::vector<report::SessionOffset> offsets;
        std::vector<library::StoredOutcome> fresh;
    };
    [[nodiscard]] static Result<Found> read(const std::string& path, library::ProjectId project,
                                            const std::vector<library::DeviceId>& devices,
                                            const RunControl& run);
    void show(Result<Found> found);
    void fillTable(const std::vector<report::SessionOffset>& offsets);

    LibraryDocument& library_;
    QLabel* words_;
    widgets::SceneView* view_;
    QTableWidget* table_;
    widgets::TaskRunner runner_;  // last: its deliveries use what stands above
};

}  // namespace beatwitness::app
