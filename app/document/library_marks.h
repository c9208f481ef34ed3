#pragma once

#include <QPointer>

#include "app/document/annotations.h"
#include "app/document/library_document.h"

namespace beatwitness::app {

/// The marks of a session of the library at hand. Faults: NotInLibrary once another library is at hand, those
/// of LibraryDocument::setMarks().
class LibraryMarks : public MarksKeeper {
public:
    LibraryMarks(LibraryDocument& library, library::SessionId session)
        : library_(&library), path_(library.path()), session_(session) {}

    [[nodiscard]] std::string key() const override {
        return path_.toStdString() + " session " + std::to_string(session_.value);
    }
    [[nodiscard]] Result<Marks> load() override;
    [[nodiscard]] Result<Done> store(const Marks& marks) override;

private:
    [[nodiscard]] std::optional<Fault> gone() const;

    QPointer<LibraryDocument> library_;
    QString path_;
    library::SessionId session_;
};

}  // namespace beatwitness::app
